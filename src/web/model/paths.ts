/** Reading and changing job documents by path. Documents are never altered in place: undo depends on it. */
export type Path = readonly (string | number)[];

export const pathOf = (text: string): Path =>
  text.split('.').map((key) => (/^\d+$/.test(key) ? Number(key) : key));

export const at = (document: unknown, path: Path): unknown =>
  path.reduce<unknown>(
    (value, key) => (value as Record<string | number, unknown> | undefined)?.[key],
    document,
  );

/** A copy with the value at `path` replaced; undefined removes it. */
export function put<T>(document: T, path: Path, value: unknown): T {
  const [key, ...rest] = path;
  if (key === undefined) return value as T;
  const copy: Record<string | number, unknown> | unknown[] = Array.isArray(document)
    ? [...document]
    : { ...(document as object) };
  const next = rest.length ? put((copy as Record<string | number, unknown>)[key] ?? {}, rest, value) : value;
  if (next === undefined)
    if (Array.isArray(copy)) copy.splice(Number(key), 1);
    else delete copy[key];
  else (copy as Record<string | number, unknown>)[key] = next;
  return copy as T;
}
