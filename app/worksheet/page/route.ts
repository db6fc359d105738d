// One route: its text, what it was opened as, and every change since, which can be taken back.

export interface Step {
  text: string;
  words: string;
  /** Changes of one field that follow each other are one step. */
  field: string;
}

export interface Route {
  opened: string;
  steps: readonly Step[];
  /** How many of the steps hold now. */
  done: number;
}

export function opened_route(text: string): Route {
  return { opened: text, steps: [], done: 0 };
}

export function text_of(route: Route): string {
  return route.done === 0 ? route.opened : route.steps[route.done - 1]!.text;
}

export function changed(route: Route, step: Step): Route {
  if (step.text === text_of(route)) return route;
  const last = route.steps[route.done - 1];
  const joins = step.field !== "" && last?.field === step.field;
  const kept = route.steps.slice(0, joins ? route.done - 1 : route.done);
  const before = kept[kept.length - 1]?.text ?? route.opened;
  if (joins && before === step.text) return { ...route, steps: kept, done: kept.length };
  const steps = [...kept, joins ? { ...step, words: joined_words(last!.words, step.words) } : step];
  return { ...route, steps, done: steps.length };
}

/** The first state of one and the last of the other: "4 ft to 5 ft" and "5 ft to 6 ft". */
function joined_words(first: string, last: string): string {
  const from = / from (.*) to /.exec(first);
  return from === null ? last : last.replace(/ from .* to /, () => ` from ${from[1]!} to `);
}

/** A field was left: its next change is a step of its own. */
export function settled(route: Route): Route {
  const last = route.steps[route.done - 1];
  if (last === undefined || last.field === "") return route;
  const steps = route.steps.map((step, n) => (n === route.done - 1 ? { ...step, field: "" } : step));
  return { ...route, steps };
}

export function at_step(route: Route, done: number): Route {
  return settled({ ...route, done: Math.max(0, Math.min(done, route.steps.length)) });
}
