import type { Instant } from '../units.js';

/**
 * What a page says, in the order in which it is read. The report makes it; the writers of pages (text,
 * Markdown, HTML) know these parts and nothing of what they mean, so that all of them say the same.
 */
export interface Document {
  readonly title: string;
  /** Under the title: what place and time the page is about. */
  readonly subtitle: string;
  readonly parts: readonly Part[];
}

/** How a thing is meant. A writer shows it by a word or a mark, never by colour alone. */
export type Tone = 'good' | 'note' | 'caution' | 'alarm' | 'unknown' | 'plain';

export type Part =
  | Verdict
  | Section
  | Paragraph
  | Items
  | Facts
  | Grid
  | LineChart
  | StripChart
  | DayCalendar
  | Caution;

/** The one sentence that matters most. */
export interface Verdict {
  readonly kind: 'verdict';
  readonly tone: Tone;
  readonly text: string;
}

/** A titled group. A `folded` one is for those who look closer: HTML shows it closed, on paper open. */
export interface Section {
  readonly kind: 'section';
  /** Unique on the page; letters, digits and hyphens. */
  readonly id: string;
  readonly title: string;
  readonly folded?: boolean;
  readonly parts: readonly Part[];
}

export interface Paragraph {
  readonly kind: 'paragraph';
  readonly text: string;
}

/** What a person has to do or know, one under the other, worst first. */
export interface Items {
  readonly kind: 'items';
  readonly items: readonly {
    readonly tone: Tone;
    readonly text: string;
    /** What to do about it, or what it was seen by. */
    readonly more?: string;
  }[];
}

/** A few figures with their names. */
export interface Facts {
  readonly kind: 'facts';
  readonly facts: readonly {
    readonly name: string;
    readonly value: string;
    readonly more?: string;
    readonly tone?: Tone;
  }[];
}

export interface Grid {
  readonly kind: 'grid';
  readonly caption: string;
  readonly columns: readonly { readonly heading: string; readonly align: 'left' | 'right' }[];
  /** The first cell of a row names it. */
  readonly rows: readonly (readonly string[])[];
}

/** What a reader ought to be warned of where a figure could be leaned on. */
export interface Caution {
  readonly kind: 'caution';
  readonly text: string;
}

interface Picture {
  readonly title: string;
  /** The same in words, for those who do not see the picture. */
  readonly words: string;
}

/** A stretch of time that a picture shows, with its marks as the clocks of the place have them. */
export interface TimeAxis {
  readonly from: Instant;
  readonly until: Instant;
  readonly ticks: readonly { readonly at: Instant; readonly label: string }[];
}

/** Values over time. NaN breaks a line: time without a value stays without a line. */
export interface LineChart extends Picture {
  readonly kind: 'lines';
  readonly unit: string;
  readonly axis: TimeAxis;
  readonly lines: readonly {
    readonly name: string;
    readonly time: Float64Array;
    readonly values: Float64Array;
  }[];
  /** Stretches that are marked under the lines. */
  readonly bands: readonly {
    readonly name: string;
    readonly tone: Tone;
    readonly spans: readonly Span[];
  }[];
  readonly unknown: readonly Span[];
}

export interface Span {
  readonly from: Instant;
  readonly until: Instant;
}

/** What state each of several things was in, all the time. */
export interface StripChart extends Picture {
  readonly kind: 'strips';
  readonly axis: TimeAxis;
  readonly states: readonly { readonly key: string; readonly name: string; readonly tone: Tone }[];
  readonly strips: readonly {
    readonly name: string;
    readonly spans: readonly (Span & { readonly state: string })[];
  }[];
}

/** Days in weeks, as on a wall. */
export interface DayCalendar extends Picture {
  readonly kind: 'calendar';
  readonly days: readonly {
    /** `2025-10-27` */
    readonly date: string;
    /** 1 Monday to 7 Sunday */
    readonly weekday: number;
    /** A few short lines: extremes, hours of condensation. */
    readonly lines: readonly string[];
    /** How much of the thing that the calendar is about, 0 to 1; null where it is not known. */
    readonly share: number | null;
    /** How much of the day is known, 0 to 1. */
    readonly known: number;
  }[];
  /** What `share` is, e.g. "hours of condensation". */
  readonly meaning: string;
}
