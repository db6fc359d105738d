// What is typed into a text area, put into a text that has line breaks of its own.
import { line_break } from "./yaml_text";

/** A text area knows line feeds alone: the text as it shows it. */
function shown(text: string): string {
  return text.replace(/\r\n?/g, "\n");
}

/** Where a place in the shown text stands in the text. */
function behind(text: string, count: number): number {
  let at = 0;
  for (let n = 0; n < count; n += 1) at += text[at] === "\r" && text[at + 1] === "\n" ? 2 : 1;
  return at;
}

/** The text with what was typed in it; what was not touched keeps its bytes. */
export function typed_over(text: string, typed: string): string {
  const before = shown(text);
  const most = Math.min(before.length, typed.length);
  let same = 0;
  while (same < most && before[same] === typed[same]) same += 1;
  let same_end = 0;
  while (same_end < most - same && before[before.length - 1 - same_end] === typed[typed.length - 1 - same_end]) same_end += 1;
  const put = typed.slice(same, typed.length - same_end).replace(/\n/g, line_break(text));
  return text.slice(0, behind(text, same)) + put + text.slice(behind(text, before.length - same_end));
}
