// The handles of what is chosen: dragged with mouse, finger or pen, nudged with the arrow keys.
import { Index, Show, createSignal, type Accessor } from "solid-js";
import { attempt, change, forgetAttempt, handleById, nudge, picture, refusal, say } from "../bench";
import { liveSeam, lit } from "../choice";
import { frameStart } from "../frames";
import type { Handle, Place, SeamView } from "../protocol";
import { marked } from "../problems";
import { handle_shape, handle_use } from "./shapes";
import { toScreen, toTop, type ViewControl } from "./view";

const click_px = 3; // a pointer that moves less has clicked, not dragged

export function Handles(props: { handles: Handle[]; seam?: SeamView | undefined; control: ViewControl; place: (e: PointerEvent) => Place }) {
  let nodes: SVGGElement[] = [];
  const after = (index: number, handle: Handle): void => addPinAfter(props.seam, props.handles, index, handle, props.control, () => nodes[index + 1]?.focus());
  return (
    <g class="handles">
      <Index each={props.handles}>
        {(handle, index) => (
          <HandleMark
            handle={handle}
            control={props.control}
            place={props.place}
            keep={(node) => (nodes[index] = node)}
            addAfter={() => after(index, handle())}
          />
        )}
      </Index>
    </g>
  );
}

/** A pin on the seam about half way to the next handle; the program puts it on the curve. */
function addPinAfter(seam: SeamView | undefined, handles: Handle[], index: number, handle: Handle, control: ViewControl, done: () => void): void {
  if (!seam) return;
  const next = handles[index + 1] ?? handles[index - 1];
  if (!next) return;
  const stations = seam.strip?.stations ?? [];
  const nearest = (to: Place): number => {
    let best = 0;
    let least = Infinity;
    stations.forEach((station, i) => {
      const away = Math.hypot(station.place[0] - to[0], station.place[1] - to[1]);
      if (away < least) [best, least] = [i, away];
    });
    return best;
  };
  const half: Place = [(handle.at[0] + next.at[0]) / 2, (handle.at[1] + next.at[1]) / 2];
  const at = stations.length > 0 ? (stations[Math.round((nearest(handle.at) + nearest(next.at)) / 2)]?.place ?? half) : half;
  void change([{ add_pin: seam.pointer, at, mm_per_px: 1 / control.view().px_per_mm }], () => {
    say("Pin added.");
    done();
  });
}

function HandleMark(props: {
  handle: Accessor<Handle>;
  control: ViewControl;
  place: (e: PointerEvent) => Place;
  keep: (node: SVGGElement) => void;
  addAfter: () => void;
}) {
  const [dragging, setDragging] = createSignal(false);
  const [near, setNear] = createSignal(false);
  const [focused, setFocused] = createSignal(false);
  let held: { pointer: number; id: string; from: Place; grip: Place; moved: boolean; to: Place; free: boolean } | null = null;

  const at = (): Place => toScreen(props.control.view(), props.handle().at);
  const from = (): Place | null => {
    const place = props.handle().from;
    return place ? toScreen(props.control.view(), place) : null;
  };
  const refusedHere = (): string => (dragging() ? (refusal()?.problems[0]?.found ?? "") : "");
  // The flag of a problem stands over its place, so that the reading stands under it; close to the upper edge, under both.
  const flagged = (): boolean =>
    marked().some((problem) => {
      const [x, y] = toScreen(props.control.view(), problem.at);
      return Math.hypot(x - at()[0], y - at()[1]) < 40;
    });
  const below = (): number => (at()[1] < 76 || flagged() ? (flagged() && at()[1] <= 52 ? 84 : 34) : -42);
  const anchor = (): "start" | "middle" | "end" => {
    const [x] = at();
    const width = props.control.size()[0];
    return x < 130 ? "start" : x > width - 130 ? "end" : "middle";
  };

  function down(e: PointerEvent & { currentTarget: SVGGElement }): void {
    if (e.button !== 0 || held) return;
    e.stopPropagation();
    e.currentTarget.setPointerCapture(e.pointerId);
    const place = props.place(e);
    const [x, y] = at();
    held = { pointer: e.pointerId, id: props.handle().id, from: place, grip: [x - place[0], y - place[1]], moved: false, to: props.handle().at, free: false };
  }
  function move(e: PointerEvent): void {
    if (!held || e.pointerId !== held.pointer) return;
    e.stopPropagation();
    const place = props.place(e);
    if (!held.moved && Math.hypot(place[0] - held.from[0], place[1] - held.from[1]) < click_px) return;
    held.moved = true;
    setDragging(true);
    const to = toTop(props.control.view(), [place[0] + held.grip[0], place[1] + held.grip[1]]);
    const free = e.ctrlKey || e.metaKey;
    if (to[0] === held.to[0] && to[1] === held.to[1] && free === held.free) return;
    held.to = to;
    held.free = free;
    attempt([moveEdit(held)], frameStart(e));
  }
  const moveEdit = (h: { id: string; to: Place; free: boolean }) => ({
    move: h.id,
    to: h.to,
    mm_per_px: 1 / props.control.view().px_per_mm,
    ...(h.free ? { free: true } : {}),
  });
  function up(e: PointerEvent): void {
    if (!held || e.pointerId !== held.pointer) return;
    e.stopPropagation();
    const h = held;
    held = null;
    if (!h.moved) return;
    void change([moveEdit(h)], (screen) => {
      const handle = handleById(screen, h.id);
      if (handle) say(`${handle.name}: ${handle.value}`);
    }).finally(() => setDragging(false));
  }
  function cancel(): void {
    if (!held) return;
    held = null;
    setDragging(false);
    forgetAttempt();
  }

  function key(e: KeyboardEvent): void {
    if (e.key === "Escape" && held) {
      e.stopPropagation();
      cancel();
      say("The drag was taken back.");
      return;
    }
    if (e.ctrlKey || e.metaKey) return;
    const steps: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const step = steps[e.key];
    if (step) {
      nudge(props.handle().id, step, e.altKey ? "fine" : e.shiftKey ? "coarse" : "rule");
    } else if ((e.key === "Delete" || e.key === "Backspace") && props.handle().removable) {
      const name = props.handle().name;
      void change([{ remove: props.handle().id }], () => say(`${name} taken out.`));
    } else if (e.key === "a" || e.key === "A") {
      props.addAfter();
    } else return;
    e.preventDefault();
    e.stopPropagation();
  }

  return (
    <g
      ref={(node) => {
        props.keep(node);
        // Comes as soon as the hand moves, not once a frame: the answer is then there before the next frame.
        node.addEventListener("pointerrawupdate", move as EventListener);
      }}
      class={`handle ${props.handle().kind}`}
      classList={{ dragging: dragging(), lit: lit() === props.handle().id }}
      data-handle={props.handle().id}
      transform={`translate(${at()[0]} ${at()[1]})`}
      tabindex="0"
      role="button"
      aria-label={`${props.handle().name}, ${handle_use[props.handle().kind]}: ${props.handle().value}`}
      aria-keyshortcuts="ArrowLeft ArrowRight ArrowUp ArrowDown Delete A"
      onPointerDown={down}
      onPointerMove={move}
      onPointerUp={up}
      onPointerCancel={cancel}
      onPointerEnter={() => setNear(true)}
      onPointerLeave={() => setNear(false)}
      onFocus={() => {
        setFocused(true);
        if (!held) props.control.show(props.handle().at);
      }}
      onBlur={() => setFocused(false)}
      onKeyDown={key}
    >
      <Show when={from()}>
        {(place) => <line class="measures" x1={place()[0] - at()[0]} y1={place()[1] - at()[1]} x2="0" y2="0" />}
      </Show>
      <circle class="grip" r="22" />
      <path class="mark" d={handle_shape[props.handle().kind]} />
      <Show when={dragging() || near() || focused()}>
        <g class="reading" transform={`translate(${anchor() === "start" ? -12 : anchor() === "end" ? 12 : 0} ${below()})`}>
          <text text-anchor={anchor()}>
            <tspan class="name">{props.handle().name}</tspan>
            <tspan x="0" dy="20" class="value">
              {refusedHere() || props.handle().value}
            </tspan>
          </text>
        </g>
      </Show>
    </g>
  );
}

/** Handles that can be taken hold of now. */
export function shownHandles(what: "top" | "seam" | "piece"): Handle[] {
  if (what === "top") return picture()?.drawing.outline_handles ?? [];
  if (what === "seam") return liveSeam()?.handles ?? [];
  return [];
}
