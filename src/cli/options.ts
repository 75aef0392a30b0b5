import { type Dimension, type Outcome, type Problem, parseQuantity } from '../units/index.js';

export type Options = Record<string, string | boolean | undefined>;

/** Collects the problems of several options, so that the person hears of all at once. */
export class OptionReader {
  readonly problems: Problem[] = [];

  constructor(private readonly options: Options) {}

  take<T>(outcome: Outcome<T>): T | undefined {
    if (outcome.ok) return outcome.value;
    this.problems.push(...outcome.problems);
    return undefined;
  }

  text(name: string): string | undefined {
    const given = this.options[camel(name)];
    return typeof given === 'string' ? given : undefined;
  }

  /** The text of an option that must be there. */
  required(name: string): string | undefined {
    const text = this.text(name);
    if (text === undefined)
      this.problems.push({ code: 'option-missing', path: `--${name}`, message: `--${name} was not given.` });
    return text;
  }

  flag(name: string): boolean {
    return this.options[camel(name)] === true;
  }

  /** A quantity in SI; `required` makes its absence a problem, `positive` also a value not above zero. */
  quantity(
    name: string,
    dimension: Dimension,
    rules: { required?: true; positive?: true } = {},
  ): number | undefined {
    const text = this.text(name);
    const path = `--${name}`;
    if (text === undefined) {
      if (rules.required)
        this.problems.push({ code: 'option-missing', path, message: `${path} was not given.` });
      return undefined;
    }
    const read = this.take(parseQuantity(text, dimension, path));
    if (read !== undefined && rules.positive && !(read > 0)) {
      this.problems.push({
        code: 'not-positive',
        path,
        message: `${path} is ${text}; it must be above zero.`,
      });
      return undefined;
    }
    return read;
  }

  /** A share of a whole, 0 to 1, written `95 %` or `0.95`. */
  share(name: string, otherwise: number): number {
    const read = this.quantity(name, 'fraction');
    if (read === undefined) return otherwise;
    if (read >= 0 && read <= 1) return read;
    this.problems.push({
      code: 'share-out-of-range',
      path: `--${name}`,
      message: `--${name} is ${this.text(name)}; a share lies between 0 and 1.`,
      hint: 'Write "95 %" or 0.95.',
    });
    return otherwise;
  }

  /** A pH; a bare number will do, since pH has no other unit. */
  ph(name: string, otherwise: number): number {
    const text = this.text(name);
    if (text === undefined) return otherwise;
    const read = parseQuantity(/^[\d.,]+$/.test(text.trim()) ? `${text} pH` : text, 'pH', `--${name}`);
    return this.take(read) ?? otherwise;
  }

  /** A plain number not below zero: money in the person's own currency, or a count. */
  money(name: string): number | undefined {
    const text = this.text(name);
    if (text === undefined) return undefined;
    const value = Number(text.replace(',', '.'));
    if (text.trim() !== '' && value >= 0 && Number.isFinite(value)) return value;
    this.problems.push({
      code: 'not-a-price',
      path: `--${name}`,
      message: `--${name} is "${text}".`,
      hint: 'A plain number, e.g. 42.50.',
    });
    return undefined;
  }

  /** One word of a fixed list. */
  word<W extends string>(name: string, words: readonly W[], otherwise: W): W {
    const text = this.text(name);
    if (text === undefined) return otherwise;
    if ((words as readonly string[]).includes(text)) return text as W;
    this.problems.push({
      code: 'word-unknown',
      path: `--${name}`,
      message: `--${name} is "${text}".`,
      hint: `One of ${words.join(', ')}.`,
    });
    return otherwise;
  }

  /** A list written `a,b,c`. */
  list(name: string): string[] {
    return (this.text(name) ?? '')
      .split(',')
      .map((s) => s.trim())
      .filter(Boolean);
  }
}

const camel = (name: string) => name.replace(/-([a-z])/g, (_, c: string) => c.toUpperCase());
