// The route as a drawing. A tap selects the piece; the list of pieces does the same by keyboard.
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { Html } from "./html";
import type { Sheet } from "./sheet";

const kReach = 44; // px around a piece that count as a tap on it

const kViews = [
  { name: "route", words: "In space" },
  { name: "plan", words: "From above" },
  { name: "elevation", words: "From the front" },
] as const;

export function Drawing({ sheet }: { sheet: Sheet }) {
  const { view, drawn, faults, selected } = sheet.state;
  const [shown, show] = useState<(typeof kViews)[number]["name"]>("route");
  const box = useRef<HTMLDivElement>(null);

  useEffect(() => {
    const measure = new ResizeObserver((entries) => sheet.set_width(entries[0]!.contentRect.width));
    measure.observe(box.current!);
    return () => measure.disconnect();
  }, [sheet]);

  const there = kViews.filter((one) => view?.pictures[one.name]);
  const now = there.find((one) => one.name === shown) ?? there[0];
  return (
    <section class={faults.length > 0 ? "drawing stale" : "drawing"} aria-label="Drawing of the route"
             aria-busy={!drawn && faults.length === 0}>
      {there.length > 1 && (
        <div class="tabs">
          {there.map((one) => (
            <button key={one.name} type="button" aria-pressed={one === now} onClick={() => show(one.name)}>
              {one.words}
            </button>
          ))}
        </div>
      )}
      <div ref={box}>
        {now && <Tappable sheet={sheet} svg={view!.pictures[now.name]!} selected={selected} />}
      </div>
    </section>
  );
}

/** A picture whose pieces can be tapped; the selected one is marked in it. */
export function Tappable({ sheet, svg, selected }: { sheet: Sheet; svg: string; selected: number | null }) {
  const box = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    // Points of a plot name the row of the ledger that they stand behind.
    box.current!.querySelectorAll("[data-reading]:not([data-piece])").forEach((one) => {
      const number = /^after (\d+) /.exec(one.getAttribute("data-reading")!)?.[1];
      if (number !== undefined) one.setAttribute("data-piece", String(Number(number) - 1));
    });
    box.current!.querySelectorAll(".selected").forEach((one) => one.classList.remove("selected"));
    if (selected !== null) {
      box.current!.querySelectorAll(`[data-piece="${selected}"]`).forEach((one) => one.classList.add("selected"));
    }
  }, [svg, selected]);
  return (
    <div class="picture-box" ref={box} onClick={(event) => {
      const piece = piece_near(box.current!, event.target as Element, event.clientX, event.clientY);
      if (piece !== null) sheet.select(piece);
    }}>
      <Html html={svg} />
    </div>
  );
}

function piece_near(box: Element, target: Element, x: number, y: number): number | null {
  const direct = target.closest("[data-piece]");
  if (direct !== null) return Number(direct.getAttribute("data-piece"));
  let best: { piece: number; distance: number } | null = null;
  for (const one of box.querySelectorAll("[data-piece]")) {
    const r = one.getBoundingClientRect();
    const distance = Math.hypot(Math.max(r.left - x, 0, x - r.right), Math.max(r.top - y, 0, y - r.bottom));
    if (distance <= kReach / 2 && (best === null || distance < best.distance)) {
      best = { piece: Number(one.getAttribute("data-piece")), distance };
    }
  }
  return best?.piece ?? null;
}
