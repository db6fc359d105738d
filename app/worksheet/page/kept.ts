// Work that was not saved, kept in the browser's own storage. Nothing leaves the device.
import type { Route } from "./route";

export interface Kept {
  file: string;
  title: string;
  a: Route;
  b: Route | null;
}

const kPrefix = "ductledger-worksheet/";
const kMost = 5;
const kSteps = 20;

function storage(): Storage | null {
  try {
    return globalThis.localStorage;
  } catch {
    return null;
  }
}

/** A name in the storage for one open page; newer ones sort behind. */
export function new_slot(): string {
  return `${kPrefix}${Date.now().toString(36).padStart(10, "0")}`;
}

function slots(): string[] {
  const store = storage();
  if (store === null) return [];
  return Array.from({ length: store.length }, (_, n) => store.key(n) ?? "")
    .filter((key) => key.startsWith(kPrefix))
    .sort()
    .reverse();
}

/** The last steps are enough to take back what was done last. */
function shortened(route: Route | null): Route | null {
  if (route === null) return null;
  const from = Math.max(0, Math.min(route.done, route.steps.length - kSteps));
  return { opened: route.opened, steps: route.steps.slice(from), done: route.done - from };
}

export function keep(slot: string, work: Kept): void {
  try {
    storage()?.setItem(slot, JSON.stringify({ ...work, a: shortened(work.a), b: shortened(work.b) }));
    for (const old of slots().slice(kMost)) storage()?.removeItem(old);
  } catch {
    // A full storage, or one that is switched off: the page works without.
  }
}

export function forget(slot: string): void {
  storage()?.removeItem(slot);
}

function is_route(route: unknown): route is Route {
  const r = route as Partial<Route> | null;
  return typeof r?.opened === "string" && Array.isArray(r.steps) && typeof r.done === "number" &&
    r.done >= 0 && r.done <= r.steps.length &&
    r.steps.every((s) => typeof s?.text === "string" && typeof s.words === "string" && typeof s.field === "string");
}

export function kept_work(): { slot: string; work: Kept }[] {
  return slots().flatMap((slot) => {
    try {
      const work = JSON.parse(storage()?.getItem(slot) ?? "") as Kept;
      const sound = typeof work.file === "string" && typeof work.title === "string" && is_route(work.a) &&
        (work.b === null || is_route(work.b));
      return sound ? [{ slot, work }] : [];
    } catch {
      return [];
    }
  });
}
