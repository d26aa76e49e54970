/** What a storage threw, in words; never throws itself. */
export function sayError(error: unknown): string {
  return error instanceof Error ? error.message : typeof error === "string" ? error : "an error without a message";
}
