// Drawing a new seam place by place, with the pointer or with a cross mark moved by the arrow keys.
import { change, picture, say } from "../bench";
import { choose, setChoosingWay, setSketch, sketch, type Way } from "../choice";
import type { Place } from "../protocol";
import { toScreen, toTop, type ViewControl } from "./view";

const step_px = 24;
const coarse_px = 96;
const fine_px = 2;

/** How many places a way of drawing takes; the last one ends it. 0: as many as one likes. */
export const places_wanted: Record<Way, number> = { straight: 2, arc: 3, sprung: 3, wave: 2, pins: 0, oval: 2, circle: 2, edging: 1 };
export const way_says: Record<Way, string> = {
  pins: "a batten through pins",
  arc: "an arc",
  sprung: "a sprung stick",
  wave: "a wave",
  straight: "a straight line",
  oval: "an oval set in",
  circle: "a circle set in",
  edging: "an edging around the top",
};
export const way_tells: Record<Way, string> = {
  pins: "Set pins from one edge to the other; a fair curve is bent through them.",
  arc: "Set the two ends, then a place the arc goes through.",
  sprung: "Set the two ends, then a place that the stick bows out to.",
  wave: "Set the two ends; height and length come after.",
  straight: "Set the two ends.",
  oval: "Set the middle, then a corner of the oval.",
  circle: "Set the middle, then a place on the circle.",
  edging: "",
};

export function beginSketch(as: Way): void {
  setChoosingWay(false);
  if (as === "edging") {
    lay(as, [], 1);
    return;
  }
  setSketch({ as, places: [], cursor: null, keyboard: false });
  say(`${way_tells[as]} Click, or move the cross mark with the arrow keys and press Space; Enter ends, Escape gives up.`);
}

export function giveUp(): void {
  setSketch(null);
  say("No seam was drawn.");
}

export function addPlace(at: Place): void {
  const s = sketch();
  if (!s) return;
  const places = [...s.places, at];
  setSketch({ ...s, places });
  const wanted = places_wanted[s.as];
  say(`Place ${places.length} set.`);
  if (wanted > 0 && places.length >= wanted) lay(s.as, places, undefined);
}

let scale = 1;
export function endSketch(px_per_mm: number): void {
  scale = px_per_mm;
  const s = sketch();
  if (!s) return;
  if (s.places.length === 0) giveUp();
  else lay(s.as, s.places, undefined);
}

/** Lays the seam; with no places across the middle. */
export function lay(as: Way, through: Place[], px_per_mm: number | undefined): void {
  setSketch(null);
  void change([{ draw_seam: { as, through, mm_per_px: 1 / (px_per_mm ?? scale) } }], (screen) => {
    const index = screen.seams.length - 1;
    choose({ what: "seam", index });
    document.querySelector(".column")?.scrollTo({ top: 0 });
    const seam = screen.seams[index];
    if (seam) say(`${seam.name} drawn. ${seam.verdict}`);
  });
}

/** Keys while a seam is being drawn. True when the key was used. */
export function sketchKey(e: KeyboardEvent, control: ViewControl): boolean {
  const s = sketch();
  if (!s || e.ctrlKey || e.metaKey) return false;
  const view = control.view();
  scale = view.px_per_mm;
  const moves: Record<string, Place> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  const move = moves[e.key];
  if (move) {
    const [width, height] = control.size();
    const box = picture()?.drawing.box;
    const start: Place = s.cursor ? toScreen(view, s.cursor) : box ? toScreen(view, [box[0], (box[1] + box[3]) / 2]) : [width / 2, height / 2];
    const by = e.shiftKey ? coarse_px : e.altKey ? fine_px : step_px;
    // The first press only shows where the cross mark is.
    const to: Place = s.cursor ? [start[0] + move[0] * by, start[1] + move[1] * by] : start;
    setSketch({ ...s, cursor: toTop(view, to), keyboard: true });
    return true;
  }
  if (e.key === " ") {
    if (s.cursor) addPlace(s.cursor);
    else say("Move the cross mark with the arrow keys first.");
    return true;
  }
  if (e.key === "Enter") {
    endSketch(view.px_per_mm);
    return true;
  }
  if (e.key === "Backspace") {
    if (s.places.length > 0) {
      setSketch({ ...s, places: s.places.slice(0, -1) });
      say("The last place was taken back.");
    }
    return true;
  }
  if (e.key === "Escape") {
    giveUp();
    return true;
  }
  return false;
}
