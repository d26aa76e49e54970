/** A deep copy of plain data: objects, arrays, numbers, strings, booleans, null; anything else is kept as it is. */
export function plainCopy<T>(value: T): T {
  if (Array.isArray(value)) return value.map(plainCopy) as T;
  if (typeof value !== "object" || value === null) return value;
  const prototype: unknown = Object.getPrototypeOf(value);
  if (prototype !== Object.prototype && prototype !== null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, plainCopy(part)])) as T;
}
