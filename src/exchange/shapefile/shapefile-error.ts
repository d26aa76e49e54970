import { FeeringError, type FeeringErrorCode } from "../../errors/index.js";

/** What goes with an error beside its place and reason. */
interface Details {
  readonly index?: number;
  readonly value?: unknown;
  readonly cause?: unknown;
  readonly code?: FeeringErrorCode;
}

/** An error of one of the files, with the place in it: `fields/long acre.shp`, record 3. */
export function refused(file: string, problem: string, details: Details = {}): FeeringError {
  const { code = "bad-format", ...rest } = details;
  return new FeeringError(code, `${file}: ${problem}`, { argument: file, ...rest });
}
