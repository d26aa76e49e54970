// Where a thread begins: `--import tsx` has no effect in worker threads of Node 20, so the loader is registered here, before TypeScript is asked for.
import { workerData } from "node:worker_threads";
import { register } from "tsx/esm/api";

register();
const { default: run } = await import(workerData[1].module);
export default run;
