// Fragments that the engine made: every text in them is escaped already.
import { memo } from "preact/compat";

interface Props {
  html: string;
  class?: string;
}

export const Html = memo(function Html({ html, ...rest }: Props) {
  return <div {...rest} dangerouslySetInnerHTML={{ __html: html }} />;
});
