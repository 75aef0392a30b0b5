/**
 * Numbers and words out of bytes, without turning a file of a hundred megabytes into one string.
 * Files come from every locale and from programs that print numbers in odd ways; whatever is not plainly a number is
 * NaN, never a guess.
 */
const ZERO = 48;
const NINE = 57;
const COMMA = 44;
const DOT = 46;

export const isBlank = (c: number): boolean => c === 32 || (c >= 9 && c <= 13);
export const isLineEnd = (c: number): boolean => c === 10 || c === 13;

/** Text of a byte range, Latin-1: names are shown, not interpreted. */
export function textOf(bytes: Uint8Array, from: number, to: number): string {
  let text = '';
  for (let i = from; i < to; i++) text += String.fromCharCode(bytes[i]!);
  return text;
}

/** Powers of ten that are exact in double precision (Clinger 1990: with a mantissa below 2^53 one rounding suffices). */
const EXACT_TENS = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));

/**
 * The number written in bytes [from, to). Digits, one `.` or one decimal `,`, exponent with e or E; anything else
 * (hexadecimal, `nan`, `1.#IND`, `3.1+e2`, thousands separators) is NaN. `Infinity` only by overflow.
 */
export function numberAt(bytes: Uint8Array, from: number, to: number): number {
  let i = from;
  const negative = bytes[i] === 45;
  if (negative || bytes[i] === 43) i++;
  let mantissa = 0;
  let digits = 0;
  let significant = 0;
  let scale = 0;
  let seenPoint = false;
  for (; i < to; i++) {
    const c = bytes[i]!;
    if (c >= ZERO && c <= NINE) {
      digits++;
      if (significant < 15) {
        mantissa = mantissa * 10 + (c - ZERO);
        if (mantissa > 0) significant++;
        if (seenPoint) scale--;
      } else {
        significant++;
        if (!seenPoint) scale++;
      }
    } else if ((c === DOT || c === COMMA) && !seenPoint) seenPoint = true;
    else break;
  }
  if (digits === 0) return Number.NaN;
  let exponent = 0;
  if (i < to) {
    if ((bytes[i]! | 32) !== 101) return Number.NaN;
    i++;
    const down = bytes[i] === 45;
    if (down || bytes[i] === 43) i++;
    if (i >= to) return Number.NaN;
    for (; i < to; i++) {
      const c = bytes[i]!;
      if (c < ZERO || c > NINE) return Number.NaN;
      if (exponent < 10_000) exponent = exponent * 10 + (c - ZERO);
    }
    if (down) exponent = -exponent;
  }
  const power = exponent + scale;
  if (significant > 15 || power > 22 || power < -22) return Number(textOf(bytes, from, to).replace(',', '.'));
  const value = power >= 0 ? mantissa * EXACT_TENS[power]! : mantissa / EXACT_TENS[-power]!;
  return negative ? -value : value;
}

/** Walks over blank-separated words. `start`/`end` bound the current word. */
export class Words {
  start = 0;
  end = 0;
  constructor(
    readonly bytes: Uint8Array,
    private position = 0,
    private readonly limit = bytes.length,
  ) {}
  /** Moves to the next word; false at the end. With `sameLine` it stops at a line end. */
  next(sameLine = false): boolean {
    const { bytes, limit } = this;
    let i = this.position;
    while (i < limit && isBlank(bytes[i]!) && !(sameLine && isLineEnd(bytes[i]!))) i++;
    if (i >= limit || (sameLine && isLineEnd(bytes[i]!))) {
      this.position = i;
      return false;
    }
    this.start = i;
    while (i < limit && !isBlank(bytes[i]!)) i++;
    this.end = this.position = i;
    return true;
  }
  /** True if the current word is `lower`, letter case aside. */
  is(lower: string): boolean {
    if (this.end - this.start !== lower.length) return false;
    for (let k = 0; k < lower.length; k++)
      if ((this.bytes[this.start + k]! | 32) !== (lower.charCodeAt(k) | 32)) return false;
    return true;
  }
  number(): number {
    return numberAt(this.bytes, this.start, this.end);
  }
  text(): string {
    return textOf(this.bytes, this.start, this.end);
  }
  /** The rest of the line, trimmed. */
  restOfLine(): string {
    const from = this.position;
    let i = from;
    while (i < this.limit && !isLineEnd(this.bytes[i]!)) i++;
    this.position = i;
    return textOf(this.bytes, from, Math.min(i, from + 500)).trim();
  }
  get offset(): number {
    return this.position;
  }
  set offset(position: number) {
    this.position = position;
  }
}
