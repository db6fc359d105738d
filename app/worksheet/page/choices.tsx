// Speed, units, undo and redo: one row of plain controls under the head.
import type { System } from "./answers";
import type { Sheet } from "./sheet";

export function Choices({ sheet }: { sheet: Sheet }) {
  const { view, speed, system, told } = sheet.state;
  const { steps, done } = sheet.route;
  return (
    <div class="choices">
      {view !== null && view.speeds.length > 1 && (
        <label>
          Speed
          <select value={speed ?? ""} onChange={(event) => sheet.choose_speed(event.currentTarget.value)}>
            {view.speeds.map((one) => (
              <option key={one.name} value={one.name}>
                {one.name}{one.locked_out ? ", locked out" : ""}
              </option>
            ))}
          </select>
        </label>
      )}
      <label>
        Units
        <select value={system ?? view?.system ?? "ip"} onChange={(event) => sheet.choose_system(event.currentTarget.value as System)}>
          <option value="ip">ft, in, cfm</option>
          <option value="si">mm, L/s</option>
        </select>
      </label>
      <span class="pair">
        <button type="button" disabled={done === 0} aria-label="Undo" title="Undo, Ctrl Z" onClick={() => sheet.undo()}>{"\u21b6"}</button>
        <button type="button" disabled={done === steps.length} aria-label="Redo" title="Redo, Ctrl Y" onClick={() => sheet.redo()}>{"\u21b7"}</button>
      </span>
      <p class="told" role="status">{told}</p>
    </div>
  );
}
