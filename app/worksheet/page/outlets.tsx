// Four ways for the air to leave, as small sections through a house.
import type { JSX } from "preact";

export interface Outlet {
  value: "roof" | "soffit" | "wall" | "recirculate" | "unknown";
  words: string;
  under: string;
  picture: JSX.Element;
}

function House({ children, hood }: { children?: JSX.Element | JSX.Element[]; hood: number }) {
  return (
    <svg class="house" viewBox="0 0 160 120" aria-hidden="true">
      <path class="thin" d="M6 112H154M22 112V56M132 112V56M8 64L77 14L146 64M22 56H132" />
      <path class="thin" d={`M${hood - 20} 112V98H${hood + 20}V112`} />
      <path class="hood" d={`M${hood - 16} 84H${hood + 16}L${hood + 7} 75H${hood - 7}Z`} />
      {children}
    </svg>
  );
}

export const outlets: Outlet[] = [
  {
    value: "roof", words: "Up through the roof", under: "through ceiling and attic to a cap above",
    picture: <House hood={58}><path class="duct" d="M58 75V17" /><path class="cap" d="M49 19L58 10L67 19" /></House>,
  },
  {
    value: "soffit", words: "Up and sideways", under: "into a soffit, then out through a wall",
    picture: (
      <House hood={52}>
        <path class="thin dashed" d="M36 70H132" />
        <path class="duct" d="M52 75V63H140" /><path class="cap" d="M139 55L148 63L139 71" />
      </House>
    ),
  },
  {
    value: "wall", words: "Straight out", under: "through the wall behind the hood",
    picture: <House hood={104}><path class="duct" d="M104 75V68H140" /><path class="cap" d="M139 60L148 68L139 76" /></House>,
  },
  {
    value: "recirculate", words: "Back into the room", under: "through a carbon filter; moisture and fumes stay inside",
    picture: <House hood={84}><path class="duct" d="M84 75V66H58" /><path class="cap" d="M60 59L51 66L60 73" /><path class="thin" d="M77 71H91M77 68.5H91" /></House>,
  },
];
