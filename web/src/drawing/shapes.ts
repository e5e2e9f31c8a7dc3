// The shape of a handle tells its kind, px around its place.
import type { Handle } from "../protocol";

const circle = (r: number): string => `M${-r} 0a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z`;
const double_arrow = "M0 -11L6 -4H2.5V4H6L0 11L-6 4H-2.5V-4H-6z"; // up and down
const sideways = "M-11 0L-4 -6V-2.5H4V-6L11 0L4 6V2.5H-4V6z";

export const handle_shape: Record<Handle["kind"], string> = {
  pin: circle(6.5),
  end: "M0 -9L9 0L0 9L-9 0z",
  rise: double_arrow,
  height: double_arrow,
  radius: "M-9 7A13 13 0 0 1 9 7L5.5 3.5A8 8 0 0 0 -5.5 3.5z M-2.5 3V-10H2.5V3z",
  length: sideways,
  shift: "M-11 0L-5 -6V6z M11 0L5 -6V6z M-3 -6H3V6H-3z",
  centre: "M-2.5 -10H2.5V-2.5H10V2.5H2.5V10H-2.5V2.5H-10V-2.5H-2.5z",
  width: "M-7 -7H7V7H-7z",
  size: "M-7 -7H7V7H-7z",
  turn: "M0 -9A9 9 0 1 1 -9 0H-4.5A4.5 4.5 0 1 0 0 -4.5V-1L-5 -6.7L0 -12.5z",
};

/** What one can do with it, read by screen readers. */
export const handle_use: Record<Handle["kind"], string> = {
  pin: "pin",
  end: "end of the seam",
  rise: "handle for the rise",
  height: "handle for the height",
  radius: "handle for the radius",
  length: "handle for the length",
  shift: "handle for the shift",
  centre: "handle for the centre",
  width: "handle for the width",
  size: "handle for the size",
  turn: "handle for the turn",
};
