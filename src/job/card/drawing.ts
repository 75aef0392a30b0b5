/** A flat drawing as data: the same list of shapes becomes SVG on a page and vector art in a PDF. Units are millimetres. */
export interface Drawing {
  width: number;
  height: number;
  /** What it shows, for people who do not see it. */
  title: string;
  items: Item[];
}

export type Pattern = 'burnt' | 'bare';

export type Item =
  | {
      kind: 'area';
      /** One closed ring of x, y after x, y. */
      points: number[];
      fill: string | { pattern: Pattern };
      opacity?: number;
      /** Set to paint the seam between neighbours shut. */
      seam?: boolean;
    }
  | {
      kind: 'line';
      points: number[];
      stroke: string;
      width: number;
      closed?: boolean;
      dash?: number;
    }
  | {
      kind: 'text';
      x: number;
      y: number;
      text: string;
      /** Height of the type in mm. */
      size: number;
      anchor: 'start' | 'middle' | 'end';
      bold?: boolean;
      colour?: string;
    };

export const INK = '#1d2523';
export const FAINT = '#8b9591';
