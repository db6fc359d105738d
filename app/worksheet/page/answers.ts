// What the engine answers, as far as the page reads it.
import type { Op } from "./edit";

export type System = "ip" | "si";

export interface Fault {
  rule: string;
  level: string;
  message: string;
  label: string;
  help: string;
  line: number;
  column: number;
  length: number;
  rendered: string;
}

export interface Answer {
  standing: string;
  mark: string;
  words: string;
  airflow: string;
  band: string;
  sentence: string;
  airflow_m3_s: number | null;
  band_m3_s: [number, number] | null;
  required: string;
  requirement: string;
  counts: string;
}

export interface Speed {
  name: string;
  sentence: string;
  chosen: boolean;
  locked_out: boolean;
}

export interface Choice {
  value: string;
  words: string;
  note: string;
}

export interface Field {
  key: string;
  label: string;
  value: string;
  dimension: string;
  stated: boolean;
  choices?: Choice[];
}

export interface Piece {
  index: number;
  number: number;
  kind: string;
  words: string;
  section: string;
  loss: string;
  length?: string;
  share: number | null;
  share_words: string;
  costliest: boolean;
  line: number;
  fields: Field[];
}

export interface SiteField {
  /** Keys with dots between them. */
  path: string;
  label: string;
  number: number;
  unit: string;
  stated: boolean;
  low: number;
  high: number;
  step: number;
}

export interface View {
  system: System;
  title: string;
  hash: string;
  errors: Fault[];
  warnings: Fault[];
  remarks: string[];
  answer: Answer;
  speeds: Speed[];
  worst: { level: string; code: string; words: string; piece: number | null } | null;
  pieces: Piece[];
  site: SiteField[];
  pictures: Partial<Record<"route" | "plan" | "elevation" | "curves" | "pressure" | "answer" | "house", string>>;
  sections?: Partial<Record<"ledger" | "speeds" | "findings" | "doubt" | "house" | "yardstick" | "rules" | "assumptions" | "cautions", string>>;
}

export interface AdviceRow {
  words: string;
  condition: string;
  gain: string;
  band: string;
  after: string;
  mends: string[];
  brings: { level: string; words: string }[];
  changes: Op[];
}

export interface Advice {
  why_not: string;
  rows: AdviceRow[];
  best_pair: AdviceRow | null;
  left_out: number;
}

export interface Difference {
  words: string;
  difference_m3_s: number | null;
  band_m3_s: [number, number] | null;
  why_not: string;
}

export interface Comparison {
  html: string;
}

export interface Errors {
  errors: Fault[];
}

export function failed(answer: unknown): answer is Errors {
  const errors = (answer as Partial<Errors> | null)?.errors;
  return Array.isArray(errors) && errors.length > 0;
}
