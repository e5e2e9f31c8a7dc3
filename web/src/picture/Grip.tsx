// A square on a picture that is dragged, or moved with the arrow keys. Places are pixels of the picture.
import { createSignal } from "solid-js";
import type { Place } from "../protocol";

export function Grip(props: { name: string; at: Place | undefined; unit: number; limits: [number, number]; put: (at: Place) => void; moving?: (at: Place) => void }) {
  const [dragged, setDragged] = createSignal<Place | null>(null);
  const place = (): Place => dragged() ?? props.at ?? [0, 0];
  const within = (p: Place): Place => [Math.min(Math.max(p[0], 0), props.limits[0]), Math.min(Math.max(p[1], 0), props.limits[1])];
  function under(e: PointerEvent): Place {
    const svg = (e.currentTarget as SVGElement).ownerSVGElement;
    const turn = svg?.getScreenCTM()?.inverse();
    if (!turn) return place();
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(turn);
    return within([Math.round(p.x), Math.round(p.y)]);
  }
  function drag(e: PointerEvent): void {
    const at = under(e);
    setDragged(at);
    props.moving?.(at);
  }
  function letGo(): void {
    const at = dragged();
    setDragged(null);
    if (at) props.put(at);
  }
  const steps: Record<string, Place> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  const side = () => props.unit * 22;
  return (
    <rect
      class="grip"
      tabindex="0"
      role="button"
      aria-label={`${props.name}, ${Math.round(place()[0])} across, ${Math.round(place()[1])} down. Arrow keys move it.`}
      x={place()[0] - side() / 2}
      y={place()[1] - side() / 2}
      width={side()}
      height={side()}
      stroke-width={props.unit * 2.5}
      onPointerDown={(e) => {
        e.currentTarget.setPointerCapture(e.pointerId);
        drag(e);
      }}
      onPointerMove={(e) => {
        if (dragged()) drag(e);
      }}
      onPointerUp={letGo}
      onPointerCancel={() => setDragged(null)}
      onKeyDown={(e) => {
        const step = steps[e.key];
        if (!step) return;
        e.preventDefault();
        const size = props.unit * (e.shiftKey ? 40 : 8);
        props.put(within([place()[0] + size * step[0], place()[1] + size * step[1]]));
      }}
    />
  );
}
