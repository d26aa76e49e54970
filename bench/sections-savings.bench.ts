// overlap over real parcels with 1, 7, 30 and 48 sections, and what sections save; prints the table of docs/sections.md
import { measureSavings, printSavings } from "./sections-savings.js";

const rows = measureSavings();
if (rows.length === 0) console.log("skipped: recorded parcels are not here (set FEERING_DATA to their folder)");
else printSavings(rows);
