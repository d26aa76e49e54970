export type { Fix } from "./fix.js";
