// What the page shows and what can be done to it. The text of the layout is the one truth: every
// change makes a new text, and every answer is calculated from that text.
import type { Advice, Comparison, Difference, Fault, System, View } from "./answers";
import { failed } from "./answers";
import { apply_all, EditError } from "./edit";
import type { Op, Path } from "./edit";
import type { Engine } from "./engine";
import { fragment_of } from "./fragment";
import type { Helper } from "./helper";
import { forget, keep, new_slot } from "./kept";
import type { Kept } from "./kept";
import { at_step, changed, opened_route, settled, text_of } from "./route";
import type { Route } from "./route";
import { at, path_at, place, read, text_at } from "./yaml_text";

export type Side = "a" | "b";

export interface State {
  /** Nothing is open yet: the first questions stand. */
  open: boolean;
  file: string;
  a: Route;
  b: Route | null;
  side: Side;
  speed: string | null;
  system: System | null;
  selected: number | null;
  /** The last answer; of an older text while `faults` says why this one has none. */
  view: View | null;
  /** Whether the pictures of `view` are of its own question; those of the one before stay until then. */
  drawn: boolean;
  /** Whether more answers about this text are to come. */
  asking: boolean;
  faults: Fault[];
  /** Where each fault stands in the text. */
  fault_paths: Path[];
  advice: Advice | null;
  /** The text that the advice is about; its changes fit no other. */
  advice_of: string;
  difference: Difference | null;
  comparison: Comparison | null;
  saved: boolean;
  /** The last thing done, for the line that tells it. */
  told: string;
}

/** What a finger waits for is the answer and the pieces; the drawing follows, then the rest. */
const kRest = ["views", "charts", "answer", "sections"];

/** A layout without its variants, which are routes of their own in a comparison. */
function alone(text: string): string {
  return at(text, ["variants"]) === null ? text : apply_all(text, [{ op: "remove", path: ["variants"] }]);
}

const kWorkerDelay = 30; // ms without another change before the slower questions are asked

export class Sheet {
  state: State;
  private listeners = new Set<() => void>();
  private slot = new_slot();
  private later: ReturnType<typeof setTimeout> | undefined;
  private keeper: ReturnType<typeof setTimeout> | undefined;
  private width = 600;
  private rules = false;
  private question: { ask: string } & Record<string, unknown> = { ask: "view" };

  /** @param advisor a helper of its own for what would help, which takes longest */
  constructor(readonly engine: Engine, readonly helper: Helper, private readonly advisor: Helper) {
    const nothing = opened_route("");
    this.state = {
      open: false, file: "layout.yaml", a: nothing, b: null, side: "a", speed: null, system: null, selected: null,
      view: null, drawn: false, asking: false, faults: [], fault_paths: [], advice: null, advice_of: "", difference: null, comparison: null, saved: true, told: "",
    };
  }

  subscribe(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  private put(part: Partial<State>): void {
    this.state = { ...this.state, ...part };
    this.listeners.forEach((listener) => listener());
  }

  get route(): Route {
    return this.state.side === "b" && this.state.b !== null ? this.state.b : this.state.a;
  }

  get text(): string {
    return text_of(this.route);
  }

  // ---- opening and keeping ---------------------------------------------------------------------

  open(text: string, file: string): void {
    this.slot = new_slot();
    this.put({
      open: true, file, a: opened_route(text), b: null, side: "a", speed: null, system: null, selected: null, view: null,
      faults: [], fault_paths: [], advice: null, difference: null, comparison: null, saved: true, told: `Opened ${file}.`,
    });
    this.answer();
  }

  /** Takes up work that was kept; its place in the storage goes on being used. */
  take_up(slot: string, work: Kept): void {
    this.open(text_of(work.a), work.file);
    this.slot = slot;
    this.put({ a: work.a, b: work.b, saved: false, told: `Taken up again: ${work.title || work.file}.` });
    this.answer();
  }

  /** Bytes that are no text: the program's own words for it. */
  refuse(file: string, bytes: Uint8Array): void {
    const fault = this.ask<View>({ ask: "view", file, bytes: [...bytes] })?.errors[0];
    if (fault !== undefined) this.tell(`${file}: ${fault.message}; ${fault.help}.`);
  }

  close(): void {
    this.put({ open: false, view: null, told: "" });
  }

  /** What stands on the screen is in a file now. */
  mark_saved(told: string): void {
    forget(this.slot);
    clearTimeout(this.keeper);
    this.put({ saved: true, told });
  }

  private keep_soon(): void {
    clearTimeout(this.keeper);
    this.keeper = setTimeout(() => this.keep_now(), 300);
  }

  keep_now(): void {
    if (!this.state.open || this.state.saved) return;
    const title = text_at(text_of(this.state.a), ["title"]) ?? "";
    keep(this.slot, { file: this.state.file, title, a: this.state.a, b: this.state.b });
  }

  async fragment(): Promise<string> {
    return fragment_of(this.text);
  }

  // ---- changes ---------------------------------------------------------------------------------

  private put_route(route: Route, told: string): void {
    if (route === this.route) return;
    const side: Partial<State> = this.state.side === "b" ? { b: route } : { a: route };
    this.put({ ...side, saved: false, told });
    this.answer();
    this.keep_soon();
  }

  /** @param field changes of one field that follow each other are one step of the history */
  write(text: string, words: string, field = ""): void {
    this.put_route(changed(this.route, { text, words, field }), words);
  }

  /** Whether the changes fit; where not, the reason is told. */
  change(ops: Op[], words: string, field = ""): boolean {
    try {
      this.write(apply_all(this.text, ops), words, field);
      return true;
    } catch (fault) {
      if (!(fault instanceof EditError)) throw fault;
      this.put({ told: `Not changed: ${fault.message}.` });
      return false;
    }
  }

  settle(): void {
    const side = this.state.side === "b" ? "b" : "a";
    const route = settled(this.route);
    if (route !== this.route) this.put({ [side]: route } as Partial<State>);
  }

  undo(): void {
    const step = this.route.steps[this.route.done - 1];
    if (step !== undefined) this.put_route(at_step(this.route, this.route.done - 1), `Taken back: ${step.words}`);
  }

  redo(): void {
    const step = this.route.steps[this.route.done];
    if (step !== undefined) this.put_route(at_step(this.route, this.route.done + 1), `Done again: ${step.words}`);
  }

  go_to(done: number): void {
    const route = at_step(this.route, done);
    this.put_route(route, done === 0 ? "Back to the layout as opened" : `Back to: ${route.steps[done - 1]!.words}`);
  }

  // ---- choices ---------------------------------------------------------------------------------

  tell(told: string): void {
    this.put({ told });
  }

  select(piece: number | null): void {
    if (piece !== this.state.selected) this.put({ selected: piece });
  }

  choose_speed(speed: string): void {
    this.put({ speed });
    this.answer();
  }

  choose_system(system: System): void {
    this.put({ system });
    this.answer();
  }

  set_width(width: number): void {
    const rounded = Math.max(280, Math.min(720, Math.round(width / 8) * 8));
    if (rounded === this.width) return;
    this.width = rounded;
    if (this.state.open) this.answer();
  }

  /** Judging by the rules takes time: only while somebody looks. */
  show_rules(open: boolean): void {
    if (open === this.rules) return;
    this.rules = open;
    if (open && this.state.open) this.answer();
  }

  // ---- two routes ------------------------------------------------------------------------------

  start_b(): void {
    this.put({ b: opened_route(text_of(this.state.a)), side: "b", selected: null, saved: false,
               told: "Route B begins as a copy of route A." });
    this.answer();
    this.keep_soon();
  }

  show_side(side: Side): void {
    this.put({ side, selected: null, told: `Route ${side.toUpperCase()} is shown.` });
    this.answer();
  }

  drop_b(): void {
    this.put({ b: null, side: "a", comparison: null, selected: null, told: "Route B is gone." });
    this.answer();
    this.keep_soon();
  }

  /** Writes what route B changes under `variants` of route A. */
  async write_variant(name: string): Promise<void> {
    if (this.state.b === null) return;
    const request = { ask: "variant", text: text_of(this.state.a), b_text: text_of(this.state.b), name };
    const answer = await this.helper.ask<{ changes: Op[]; not_said?: string[] }>(request);
    if (answer === null) return;
    if (failed(answer)) {
      this.put({ told: `Not written: ${answer.errors[0]!.message}.` });
      return;
    }
    this.put({ side: "a", selected: null });
    if (this.change(answer.changes, `Route B written as the variant ${name}`)) {
      const left = answer.not_said ?? [];
      this.tell(`Route B stands in route A's file as the variant ${name}${left.length > 0 ? `; a variant cannot say ${left.join(", ")}` : ""}.`);
    } else {
      this.answer();
    }
  }

  // ---- answers ---------------------------------------------------------------------------------

  /** An answer of the engine on this side; a fault of ours is told and takes nothing away. */
  ask<T>(request: { ask: string } & Record<string, unknown>): T | null {
    try {
      return this.engine.ask(request) as T;
    } catch (fault) {
      this.tell(String((fault as Error).message));
      return null;
    }
  }

  private answer(): void {
    const { speed, system, file } = this.state;
    const text = this.text;
    const ghost = this.state.side === "b" ? text_of(this.state.a) : this.route.opened;
    this.question = { ask: "view", text, file, speed, system, width: this.width, ...(ghost === text ? {} : { ghost }) };
    // Of the types to choose from only those of the open piece are waited for.
    const want = this.state.view === null ? ["pieces", "route"] : ["pieces"];
    const view = this.ask<View>({ ...this.question, want, fields_of: this.state.selected });
    if (view === null) return;
    if (view.errors.length > 0) {
      const faults = view.errors;
      this.put({ faults, fault_paths: faults.map((fault) => path_at(text, place(text, fault.line, fault.column))),
                 advice: null, difference: null, asking: false });
      return;
    }
    const chosen = view.speeds.find((one) => one.chosen)?.name ?? null;
    // The slower pictures and sections stay as they were until their answer follows.
    const before = this.state.view;
    const pictures = { ...before?.pictures, ...view.pictures };
    this.put({ view: { ...view, pictures, ...(before?.sections ? { sections: before.sections } : {}) },
               drawn: false, asking: true, faults: [], fault_paths: [], speed: chosen ?? speed });
    clearTimeout(this.later);
    this.later = setTimeout(() => void this.ask_more(), kWorkerDelay);
  }

  private async ask_more(): Promise<void> {
    const { speed, system, file, side, a, b } = this.state;
    const text = this.text;
    const still = (): boolean => this.text === text && this.state.speed === speed;
    const opened = side === "b" ? text_of(a) : this.route.opened;
    const asked: Promise<void>[] = [];
    const more = async (kind: string, want: string[]): Promise<void> => {
      const answer = await this.helper.ask<View>({ ...this.question, want }, kind);
      const view = this.state.view;
      if (answer === null || answer.errors.length > 0 || view === null || !still()) return;
      const pieces = want.includes("pieces") ? answer.pieces : view.pieces;
      this.put({ view: { ...view, pieces, pictures: { ...view.pictures, ...answer.pictures }, ...(answer.sections ? { sections: answer.sections } : {}) },
                 drawn: this.state.drawn || want.includes("route") });
    };
    asked.push(more("drawing", ["route", "pieces"]), more("rest", this.rules ? [...kRest, "rules"] : kRest));
    const ask = async <T>(request: { ask: string } & Record<string, unknown>, take: (answer: T) => void, of = this.helper): Promise<void> => {
      const answer = await of.ask<T>(request);
      if (answer !== null && still()) take(answer);
    };
    if (opened === text) this.put({ difference: null });
    else asked.push(ask<Difference>({ ask: "difference", text_a: text, text_b: opened, speed, system },
                                    (difference) => this.put({ difference: failed(difference) ? null : difference })));
    asked.push(ask<Advice>({ ask: "advice", text, file, speed, system },
                           (advice) => this.put({ advice: failed(advice) ? null : advice, advice_of: text }), this.advisor));
    if (b !== null && text_of(a) === text_of(b)) {
      this.put({ comparison: null });
    } else if (b !== null) {
      const layouts = [
        { text: alone(text_of(a)), file, name: "Route A" },
        { text: alone(text_of(b)), file: `b-${file}`, name: "Route B" },
      ];
      asked.push(ask<Comparison>({ ask: "compare", layouts, system },
                                 (comparison) => this.put({ comparison: failed(comparison) ? null : comparison })));
    }
    await Promise.all(asked).catch((fault: Error) => this.tell(fault.message));
    if (still()) this.put({ asking: false });
  }

  /** Whether the text can be edited piece by piece. */
  get readable(): boolean {
    return read(this.text).errors.length === 0;
  }
}
