import { FeeringError } from "../../errors/index.js";

/** Whatever is refused inside is refused with the path in front. */
export function within<T>(path: string, make: () => T): T {
  try {
    return make();
  } catch (error) {
    if (!(error instanceof FeeringError)) throw error;
    throw new FeeringError(error.code, `${path}: ${error.message}`, {
      argument: `${path}: ${error.argument}`,
      ...(error.index === undefined ? {} : { index: error.index }),
      value: error.value,
      cause: error,
    });
  }
}
