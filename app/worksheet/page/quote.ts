// Text typed by a person as a YAML scalar, and pieces in and out of braces.

/** As it stands, or in double quotes where YAML would read something else. Fits between braces. */
export function plain_or_quoted(value: string): string {
  const first_is_plain = /^(?:[^\s\-?:,[\]{}#&*!|>'"%@`]|-(?=[^\s,[\]{}]))/u.test(value);
  const rest_is_plain = !/[,[\]{}\u0000-\u001f\u007f-\u009f\u2028\u2029\ufeff]|:(?=\s|$)|\s#|\s$/u.test(value);
  return first_is_plain && rest_is_plain && !/^(?:---|\.\.\.)/.test(value) ? value : JSON.stringify(value);
}

/** A piece as it stands between brackets: in braces. */
export function flow_item(value: string): string {
  return value.startsWith("{") || !/^[\w-]+:(?:\s|$)/.test(value) ? value : `{${value}}`;
}

/** A piece as it stands behind a dash. */
export function item_text(value: string): string {
  const braced = /^\{([\w-]+:\s.*)\}$/.exec(value);
  return braced !== null && is_one_pair(braced[1]!) ? braced[1]! : value;
}

/** Whether the text between two braces holds one key: no comma outside of inner brackets. */
function is_one_pair(inner: string): boolean {
  let depth = 0;
  for (const c of inner) {
    if (c === "{" || c === "[") depth += 1;
    if (c === "}" || c === "]") depth -= 1;
    if (c === '"' || c === "'" || depth < 0) return false;
    if (c === "," && depth === 0) return false;
  }
  return true;
}
