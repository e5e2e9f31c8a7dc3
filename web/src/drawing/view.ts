// Where on the screen a place on the top is shown. The top's y points up, the screen's down.
import { createSignal } from "solid-js";
import type { Place } from "../protocol";

export interface View {
  px_per_mm: number;
  x: number; // of the top's origin, px
  y: number;
}
export type Box = [x0: number, y0: number, x1: number, y1: number];

const margin_x_px = 30; // room for the marks of handles, and for what is written at them
const margin_y_px = 28;
const nearest_px_per_mm = 60;
const farthest_part = 0.35; // of the scale at which everything fits

export const toScreen = (view: View, [x, y]: Place): Place => [view.x + x * view.px_per_mm, view.y - y * view.px_per_mm];
export const toTop = (view: View, [x, y]: Place): Place => [(x - view.x) / view.px_per_mm, (view.y - y) / view.px_per_mm];

export function fitted(box: Box, width: number, height: number): View {
  const across = Math.max(box[2] - box[0], 1);
  const up = Math.max(box[3] - box[1], 1);
  const beside = Math.min(margin_x_px, width / 11);
  const above = Math.min(margin_y_px, height / 6);
  const px_per_mm = Math.max(Math.min((width - 2 * beside) / across, (height - 2 * above) / up), 0.01);
  return {
    px_per_mm,
    x: width / 2 - ((box[0] + box[2]) / 2) * px_per_mm,
    y: height / 2 + ((box[1] + box[3]) / 2) * px_per_mm,
  };
}

export function createView() {
  const [size, setSize] = createSignal<[number, number]>([0, 0]);
  const [box, setBox] = createSignal<Box>([0, 0, 1, 1], { equals: (a, b) => a.every((v, i) => v === b[i]) });
  // Null: everything fits, and goes on fitting when the window or the top changes.
  const [own, setOwn] = createSignal<View | null>(null);
  const view = (): View => own() ?? fitted(box(), size()[0], size()[1]);

  function zoom(by: number, at: Place): void {
    const before = view();
    const whole = fitted(box(), size()[0], size()[1]).px_per_mm;
    const px_per_mm = Math.min(Math.max(before.px_per_mm * by, whole * farthest_part), nearest_px_per_mm);
    const k = px_per_mm / before.px_per_mm;
    setOwn({ px_per_mm, x: at[0] + (before.x - at[0]) * k, y: at[1] + (before.y - at[1]) * k });
  }
  function pan(dx: number, dy: number): void {
    const before = view();
    setOwn({ px_per_mm: before.px_per_mm, x: before.x + dx, y: before.y + dy });
  }
  /** Brings a place into sight when it is outside. */
  function show(place: Place): void {
    const [x, y] = toScreen(view(), place);
    const [width, height] = size();
    if (x > 20 && y > 20 && x < width - 20 && y < height - 20) return;
    pan(width / 2 - x, height / 2 - y);
  }
  return { view, size, setSize, setBox, zoom, pan, show, fit: () => setOwn(null), isFitted: () => own() === null };
}
export type ViewControl = ReturnType<typeof createView>;
