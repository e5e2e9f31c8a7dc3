// The top, drawn to scale: pieces in their woods, seams, templates, handles. Everything is drawn from path data that the
// program gives; here it is only put in its place on the screen.
import { Index, Show, createEffect, createMemo, createSignal, onCleanup, onMount } from "solid-js";
import { change, picture, say, settled } from "../bench";
import { choose, chosen, goTo, lit, liveSeam, overlays, plumb, setPlumb, setSketch, shownSheets, sketch } from "../choice";
import type { Place, Screen } from "../protocol";
import { marked } from "../problems";
import { Handles, shownHandles } from "./Handles";
import { addPlace, endSketch, sketchKey } from "./sketch";
import { createView, toScreen, toTop, type Box, type ViewControl } from "./view";
import { WoodPattern } from "./wood";

const wheel_zoom_per_px = 0.0016; // a notch of a usual wheel (100 px) zooms by a sixth
const key_zoom = 1.3;
const key_pan_px = 48;
const drawn_on_px = 12; // a button held that far is drawing on, not a click
const pin_every_px = 110;
const hover_reach_px = 26; // how near to the seam the pointer must be to move the plumb line

/** The control of the drawing that is on the page, for buttons that stand elsewhere. */
export const [drawingControl, setDrawingControl] = createSignal<ViewControl | null>(null);

export function Drawing() {
  const control = createView();
  const { view, size } = control;
  let svg!: SVGSVGElement;
  const [hand, setHand] = createSignal(false);

  const drawing = () => picture()!.drawing;
  createEffect(() => {
    const screen = settled();
    if (screen) control.setBox(withEnds(screen));
  });
  onMount(() => {
    setDrawingControl(control);
    const observer = new ResizeObserver(([entry]) => {
      if (entry) control.setSize([entry.contentRect.width, entry.contentRect.height]);
    });
    observer.observe(svg);
    onCleanup(() => {
      observer.disconnect();
      setDrawingControl(null);
    });
    svg.addEventListener("wheel", wheel, { passive: false });
  });

  const place = (e: MouseEvent): Place => {
    const frame = svg.getBoundingClientRect();
    return [e.clientX - frame.left, e.clientY - frame.top];
  };

  // ---------------------------------------------------------------------------------------------- pan and zoom
  const fingers = new Map<number, Place>();
  let travelled = 0;
  let pressed: Place | null = null; // while a seam is drawn: where the button went down
  let drawing_on = false;

  function wheel(e: WheelEvent): void {
    e.preventDefault();
    control.zoom(Math.exp(-(e.deltaMode === 1 ? e.deltaY * 33 : e.deltaY) * wheel_zoom_per_px), place(e));
  }
  function down(e: PointerEvent): void {
    if (e.button > 1) return;
    fingers.set(e.pointerId, place(e));
    if (fingers.size === 1) {
      travelled = 0;
      pressed = sketch() ? toTop(view(), place(e)) : null;
      drawing_on = false;
    } else pressed = null; // two fingers move the view
  }
  function move(e: PointerEvent): void {
    const here = place(e);
    const before = fingers.get(e.pointerId);
    if (!before) {
      hover(e, here);
      return;
    }
    const others = [...fingers].filter(([id]) => id !== e.pointerId);
    travelled += Math.hypot(here[0] - before[0], here[1] - before[1]);
    if (pressed && sketch()) drawnOn(e, here);
    else if (travelled > 4) {
      if (!svg.hasPointerCapture(e.pointerId)) svg.setPointerCapture(e.pointerId);
      setHand(true);
      const other = others[0]?.[1];
      if (other) {
        const was = Math.hypot(before[0] - other[0], before[1] - other[1]);
        const is = Math.hypot(here[0] - other[0], here[1] - other[1]);
        if (was > 8 && is > 8) control.zoom(is / was, [(here[0] + other[0]) / 2, (here[1] + other[1]) / 2]);
        control.pan((here[0] - before[0]) / 2, (here[1] - before[1]) / 2);
      } else {
        control.pan(here[0] - before[0], here[1] - before[1]);
      }
    }
    fingers.set(e.pointerId, here);
  }
  function up(e: PointerEvent): void {
    const last = pressed && travelled > drawn_on_px && e.type === "pointerup" ? place(e) : null;
    pressed = null;
    fingers.delete(e.pointerId);
    if (fingers.size === 0) setHand(false);
    if (last && sketch()) addPlace(toTop(view(), last));
  }
  /** A seam can be drawn with the button held: the first place is set where it went down, pins are set on the way. */
  function drawnOn(e: PointerEvent, here: Place): void {
    if (!svg.hasPointerCapture(e.pointerId)) svg.setPointerCapture(e.pointerId);
    if (travelled > drawn_on_px && pressed) {
      const s = sketch();
      const before = s?.places[s.places.length - 1];
      const at = before ? toScreen(view(), before) : null;
      if (!at || !drawing_on) addPlace(pressed);
      else if (s?.as === "pins" && Math.hypot(here[0] - at[0], here[1] - at[1]) > pin_every_px) addPlace(toTop(view(), here));
      drawing_on = true;
    }
    const now = sketch();
    if (now) setSketch({ ...now, cursor: toTop(view(), here), keyboard: false });
  }
  const dragged = (): boolean => travelled > 4;

  // ---------------------------------------------------------------------------------------------- pointing
  function hover(e: PointerEvent, here: Place): void {
    const s = sketch();
    if (s) {
      setSketch({ ...s, cursor: toTop(view(), here), keyboard: false });
      return;
    }
    if (e.pointerType !== "touch") plumbAt(here);
  }
  function plumbAt(here: Place): boolean {
    const stations = liveSeam()?.strip?.stations ?? [];
    const [x, y] = toTop(view(), here);
    const reach = hover_reach_px / view().px_per_mm;
    let best = -1;
    let least = reach;
    for (let i = 0; i < stations.length; i++) {
      const at = stations[i]!.place;
      const away = Math.hypot(at[0] - x, at[1] - y);
      if (away < least) [best, least] = [i, away];
    }
    if (best >= 0) setPlumb(best);
    return best >= 0;
  }
  function click(e: MouseEvent): void {
    if (dragged()) return;
    const here = place(e);
    if (sketch()) {
      if (e.detail < 2) addPlace(toTop(view(), here));
      return;
    }
    const target = e.target as Element;
    const seam = target.closest("[data-seam]");
    const piece = target.closest("[data-piece]");
    if (seam) {
      choose({ what: "seam", index: Number(seam.getAttribute("data-seam")) });
      plumbAt(here);
    } else if (target.closest("[data-edge]")) choose({ what: "top" });
    else if (piece) choose({ what: "piece", index: Number(piece.getAttribute("data-piece")) });
    else if (!target.closest("[data-handle], .note")) choose({ what: "top" });
  }
  function doubleClick(e: MouseEvent): void {
    if (sketch()) {
      endSketch(view().px_per_mm);
      return;
    }
    const seam = (e.target as Element).closest("[data-seam]");
    if (seam) addPin(Number(seam.getAttribute("data-seam")), toTop(view(), place(e)));
  }
  function addPin(index: number, at: Place): void {
    const seam = picture()?.seams[index];
    if (!seam) return;
    void change([{ add_pin: seam.pointer, at, mm_per_px: 1 / view().px_per_mm }], () => say("Pin added."));
  }

  // ---------------------------------------------------------------------------------------------- keys
  function key(e: KeyboardEvent): void {
    if (sketch() && sketchKey(e, control)) {
      e.preventDefault();
      e.stopPropagation();
      return;
    }
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const centre: Place = [size()[0] / 2, size()[1] / 2];
    const pans: Record<string, Place> = { ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const pan = e.target === svg ? pans[e.key] : undefined;
    if (pan) control.pan(pan[0] * key_pan_px, pan[1] * key_pan_px);
    else if (e.key === "+" || e.key === "=") control.zoom(key_zoom, centre);
    else if (e.key === "-") control.zoom(1 / key_zoom, centre);
    else if (e.key === "0") control.fit();
    else return;
    e.preventDefault();
  }
  const enter = (what: () => void) => (e: KeyboardEvent) => {
    if ((e.key !== "Enter" && e.key !== " ") || sketch()) return;
    e.preventDefault();
    e.stopPropagation();
    what();
  };
  function enterSeam(index: number): void {
    const now = chosen();
    if (now.what === "seam" && now.index === index) {
      const stations = picture()?.seams[index]?.strip?.stations ?? [];
      const at = stations[plumb() >= 0 ? plumb() : Math.floor(stations.length / 2)]?.place;
      if (at) addPin(index, at);
    } else {
      choose({ what: "seam", index });
      say(`${picture()?.seams[index]?.name ?? "Seam"} chosen. Press Tab for its handles, Enter to add a pin.`);
    }
  }

  const frame = createMemo(() => {
    const v = view();
    return `matrix(${v.px_per_mm} 0 0 ${-v.px_per_mm} ${v.x} ${v.y})`;
  });
  const isChosenSeam = (index: number): boolean => {
    const now = chosen();
    return now.what === "seam" && now.index === index;
  };
  const isChosenPiece = (index: number): boolean => {
    const now = chosen();
    return now.what === "piece" && now.index === index;
  };

  const names = (): Place[] => drawing().pieces.map((piece) => toScreen(view(), piece.label));
  /** What a flag should not stand on: names of pieces and handles. */
  const taken = (): [Place, number, number][] => [
    ...names().map((name): [Place, number, number] => [name, 76, 36]),
    ...shownHandles(chosen().what).map((handle): [Place, number, number] => [toScreen(view(), handle.at), 26, 26]),
  ];

  return (
    <svg
      ref={svg}
      class="drawing"
      classList={{ hand: hand(), sketching: sketch() !== null, whole: control.isFitted() }}
      tabindex="0"
      role="application"
      aria-roledescription="drawing"
      aria-label="The top. Tab goes to pieces, seams and handles; plus and minus zoom, zero shows everything."
      onPointerDown={down}
      onPointerMove={move}
      onPointerUp={up}
      onPointerCancel={up}
      onClick={click}
      onDblClick={doubleClick}
      onKeyDown={key}
    >
      <defs>
        <Index each={drawing().pieces}>
          {(piece, i) => <WoodPattern id={`wood-${i}`} wood={piece().wood} grain_degrees={piece().grain_degrees} />}
        </Index>
      </defs>

      <g transform={frame()}>
        <path class="shadow" d={drawing().outline} />
        {/* What is seen while the seams do not part the top into pieces. */}
        <path class="unparted" d={drawing().outline} />
        <g class="pieces">
          <Index each={drawing().pieces}>
            {(piece, i) => (
              <path
                class="piece"
                classList={{ chosen: isChosenPiece(i) }}
                data-piece={i}
                d={piece().d}
                fill={`url(#wood-${i})`}
                tabindex="0"
                role="button"
                aria-label={`${piece().name}: ${piece().tells}`}
                onKeyDown={enter(() => choose({ what: "piece", index: i }))}
              >
                <title>{piece().name}</title>
              </path>
            )}
          </Index>
        </g>
        <path class="outline" classList={{ chosen: chosen().what === "top" }} d={drawing().outline} />
        <path class="edge-touch" d={drawing().outline} data-edge="" />
        <Show when={liveSeam()}>{(seam) => <Templates seam={seam()} />}</Show>
        <g class="sheets">
          <Index each={shownSheets()}>{(sheet) => <path d={sheet().d} />}</Index>
        </g>
        <g class="seams">
          <Index each={picture()!.seams}>
            {(seam, i) => (
              <g class="seam" classList={{ chosen: isChosenSeam(i), open: !seam().closes }}>
                <Show when={seam().as_drawn}>
                  <path class="as-drawn" d={seam().as_drawn} />
                </Show>
                <path class="whole" d={seam().whole} />
                <path class="casing" d={seam().d} />
                <path class="line" d={seam().d} />
                <path
                  class="touch"
                  data-seam={i}
                  d={seam().whole || seam().d}
                  tabindex="0"
                  role="button"
                  aria-label={`${seam().name}. ${seam().verdict}`}
                  onKeyDown={enter(() => enterSeam(i))}
                />
              </g>
            )}
          </Index>
        </g>
      </g>

      <PieceNames control={control} svg={() => svg} />
      <g class="sheet-names" aria-hidden="true">
        <Index each={shownSheets()}>
          {(sheet) => {
            const at = () => besideNames(toScreen(view(), sheet().label), names());
            return (
              <text x={at()[0]} y={at()[1]} text-anchor="middle">
                {sheet().name}
              </text>
            );
          }}
        </Index>
      </g>
      <PlumbMark control={control} />
      <g class="notes">
        <Index each={marked()}>
          {(problem) => {
            const at = () => toScreen(view(), problem().at);
            const flag = () => freeSpot(at(), taken());
            // What stands at the name of a piece means the piece, and needs no line to it.
            const named = () =>
              drawing().pieces.some((piece) => {
                const name = toScreen(view(), piece.label);
                return Math.hypot(name[0] - at()[0], name[1] - at()[1]) < 30;
              });
            return (
              <g
                class={`note ${problem().weight}`}
                classList={{ lit: lit() !== "" && lit() === problem().pointer }}
                transform={`translate(${at()[0]} ${at()[1]})`}
                aria-hidden="true"
                onClick={() => goTo(problem().pointer, problem().at)}
              >
                <Show when={!named()}>
                  <path class="stem" d={`M0 0L${flag()[0]} ${flag()[1]}`} />
                </Show>
                <g transform={`translate(${flag()[0]} ${flag()[1] + 34})`}>
                  <path class="flag" d={problem().weight === "error" ? "M-12 -46H12V-22H-12z" : "M0 -50L15 -22H-15z"} />
                  <text y={problem().weight === "error" ? -28 : -26} text-anchor="middle">
                    {problem().number}
                  </text>
                </g>
              </g>
            );
          }}
        </Index>
      </g>
      <Show when={!sketch()}>
        <Handles handles={shownHandles(chosen().what)} seam={chosen().what === "seam" ? liveSeam() : undefined} control={control} place={place} />
      </Show>
      <SketchMarks control={control} />
    </svg>
  );
}

/** What has to fit: the top, and the ends of seams that stand a little past it. */
function withEnds(screen: Screen): Box {
  const box = [...screen.drawing.box] as Box;
  const reach = Math.max(box[2] - box[0], box[3] - box[1]) / 8;
  const [x0, y0, x1, y1] = box;
  for (const seam of screen.seams) {
    for (const { at } of seam.handles) {
      if (at[0] < x0 - reach || at[0] > x1 + reach || at[1] < y0 - reach || at[1] > y1 + reach) continue;
      box[0] = Math.min(box[0], at[0]);
      box[1] = Math.min(box[1], at[1]);
      box[2] = Math.max(box[2], at[0]);
      box[3] = Math.max(box[3], at[1]);
    }
  }
  return box;
}

const spots: Place[] = [
  [0, -34],
  [0, 38],
  [0, -66],
  [0, 70],
  [46, -40],
  [-46, -40],
];
/** Where a flag can stand beside its place without covering anything. */
function freeSpot(at: Place, taken: [Place, number, number][]): Place {
  const free = spots.find(
    ([dx, dy]) => at[1] + dy > 18 && taken.every(([[x, y], across, up]) => Math.abs(at[0] + dx - x) > across || Math.abs(at[1] + dy - y) > up),
  );
  return free ?? spots[0]!;
}

/** The name of a sheet steps over or under the name of a piece that stands in its place. */
function besideNames(at: Place, names: Place[]): Place {
  const name = names.find(([x, y]) => Math.abs(x - at[0]) < 84 && Math.abs(y - at[1]) < 36);
  if (!name) return at;
  return [at[0], at[1] <= name[1] ? name[1] - 32 : name[1] + 46];
}

function Templates(props: { seam: NonNullable<ReturnType<typeof liveSeam>> }) {
  return (
    <g class="templates">
      <Index each={props.seam.templates}>
        {(template) => (
          <g class={template().hand} classList={{ master: template().master }}>
            <Show when={overlays().has("templates")}>
              <path class="body" d={template().body} />
              <path class="edge" d={template().edge} />
              <Index each={template().registration}>{(at) => <path class="registration" d={`M${at()[0] - 7} ${at()[1]}h14M${at()[0]} ${at()[1] - 7}v14`} />}</Index>
            </Show>
            <Show when={overlays().has("rough")}>
              <path class="rough" d={template().rough_cut} />
            </Show>
          </g>
        )}
      </Index>
    </g>
  );
}

/** Names of the pieces, where there is room for them. */
function PieceNames(props: { control: ViewControl; svg: () => SVGSVGElement }) {
  const { view } = props.control;
  // What there is room for is looked up when a change is saved or the view changes, not for every frame of a drag.
  const [room, setRoom] = createSignal<boolean[][]>([], { equals: false });
  createEffect(() => {
    const { px_per_mm } = view();
    const pieces = settled()?.drawing.pieces ?? [];
    const paths = props.svg().querySelectorAll<SVGPathElement>(".piece");
    const half_letter_px = 4.1;
    setRoom(
      pieces.map((piece, i) => {
        const fits = (letters: number, up: number, down: number): boolean => {
          const across = (letters * half_letter_px) / px_per_mm;
          return [-across, 0, across].every((dx) =>
            [up, down].every((dy) => paths[i]?.isPointInFill(new DOMPoint(piece.label[0] + dx, piece.label[1] - dy / px_per_mm)) ?? false),
          );
        };
        return [fits(piece.name.length, -15, 4), fits(Math.max(piece.species.length, 8), -14, 20)];
      }),
    );
  });
  return (
    <g class="names" aria-hidden="true">
      <Index each={picture()!.drawing.pieces}>
        {(piece, i) => {
          // A name in the middle of an inlay steps down for the handle that stands there.
          const at = (): Place => {
            const [x, y] = toScreen(view(), piece().label);
            const taken = shownHandles(chosen().what).some((handle) => {
              const [hx, hy] = toScreen(view(), handle.at);
              return handle.kind === "centre" && Math.abs(hx - x) < 50 && Math.abs(hy - y) < 24;
            });
            return [x, taken ? y + 36 : y];
          };
          return (
            <g class={`on-${piece().wood}`} transform={`translate(${at()[0]} ${at()[1]})`}>
              <text class="name" text-anchor="middle" y={room()[i]?.[1] ? -2 : 5} visibility={room()[i]?.[0] || room()[i]?.[1] ? "visible" : "hidden"}>
                {piece().name}
              </text>
              <text class="tells" text-anchor="middle" y="17" visibility={room()[i]?.[1] ? "visible" : "hidden"}>
                {piece().species || "wood not chosen yet"}
              </text>
            </g>
          );
        }}
      </Index>
    </g>
  );
}

/** The place of the plumb line on the drawing: a short line across the seam and a ring. */
function PlumbMark(props: { control: ViewControl }) {
  const station = () => liveSeam()?.strip?.stations[plumb()];
  return (
    <Show when={station()}>
      {(at) => {
        const screen = () => toScreen(props.control.view(), at().place);
        return (
          <g class="plumb-mark" transform={`translate(${screen()[0]} ${screen()[1]}) rotate(${-at().heading})`} aria-hidden="true">
            <path d="M0 -26V-8M0 8V26" />
            <circle r="8" />
          </g>
        );
      }}
    </Show>
  );
}

function SketchMarks(props: { control: ViewControl }) {
  const places = (): Place[] => (sketch()?.places ?? []).map((at) => toScreen(props.control.view(), at));
  const cursor = (): Place | null => {
    const at = sketch()?.cursor;
    return at ? toScreen(props.control.view(), at) : null;
  };
  const course = (): string => [...places(), ...(cursor() ? [cursor()!] : [])].map(([x, y], i) => `${i ? "L" : "M"}${x} ${y}`).join("");
  return (
    <Show when={sketch()}>
      <g class="sketch" aria-hidden="true">
        <path class="casing" d={course()} />
        <path class="course" d={course()} />
        <Index each={places()}>{(at) => <circle cx={at()[0]} cy={at()[1]} r="6" />}</Index>
        <Show when={cursor()}>
          {(at) => (
            <g transform={`translate(${at()[0]} ${at()[1]})`}>
              <path class="cross" d="M-18 0H-5M5 0H18M0 -18V-5M0 5V18" />
            </g>
          )}
        </Show>
      </g>
    </Show>
  );
}
