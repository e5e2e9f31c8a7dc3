// What the maker has chosen to look at. It belongs to the page, not to the job, and is never saved.
import { createMemo, createSignal } from "solid-js";
import { askLooksAt, picture, settled } from "./bench";
import type { Place, SeamView } from "./protocol";

export type Chosen = { what: "top" } | { what: "seam"; index: number } | { what: "piece"; index: number };

const [wanted, setChosen] = createSignal<Chosen>({ what: "seam", index: 0 });
/** Where there is no seam yet, the top is looked at: its size comes first. */
const chosen = createMemo<Chosen>(() => {
  const now = wanted();
  return now.what === "seam" && picture() !== null && picture()?.seams.length === 0 ? { what: "top" } : now;
});
/** Station of the strip at which the plumb line hangs; -1: nowhere. */
const [plumb, setPlumb] = createSignal(-1);
/** Pointer of the field, handle or seam that a problem points at, lit for a moment. */
const [lit, setLit] = createSignal("");

export type Overlay = "templates" | "rough" | "sheets";
const [overlays, setOverlays] = createSignal<ReadonlySet<Overlay>>(new Set<Overlay>(["templates"]));

/** Whose paper sheets lie over the drawing, among the templates of the shown seam. */
const [sheetsOf, setSheetsOf] = createSignal(0);

export { chosen, plumb, setPlumb, lit, setLit, overlays, sheetsOf, setSheetsOf };

export function choose(what: Chosen): void {
  setChosen(what);
  if (what.what === "seam") setPlumb(-1);
}
export function toggleOverlay(what: Overlay): void {
  setOverlays((before) => {
    const after = new Set(before);
    if (!after.delete(what)) after.add(what);
    return after;
  });
}

/** Number of the seam whose strip is shown: the chosen one, or the one looked at before. */
export const seamIndex = createMemo<number>((before) => {
  const count = picture()?.seams.length ?? 0;
  const now = chosen();
  const wanted = now.what === "seam" ? now.index : before;
  return Math.min(Math.max(wanted, 0), Math.max(count - 1, 0));
}, 0);
askLooksAt(seamIndex);
/** The templates of that seam which are printed on sheets. */
export const sheetSets = () => settled()?.papers.tiles.filter((tile) => tile.seam === seamIndex()) ?? [];
/** The sheets that are shown. */
export const shownSheets = () => (overlays().has("sheets") ? (sheetSets()[sheetsOf()] ?? sheetSets()[0])?.sheets ?? [] : []);
/** That seam, in the newest picture. */
export const liveSeam = (): SeamView | undefined => picture()?.seams[seamIndex()];
/** That seam, as saved. */
export const savedSeam = (): SeamView | undefined => settled()?.seams[seamIndex()];

/** Chooses what a JSON pointer belongs to, and lights it up. */
export function goTo(pointer: string, at?: Place): void {
  const seam = /^\/seams\/(\d+)/.exec(pointer);
  const piece = /^\/pieces\/(\d+)/.exec(pointer);
  if (seam) choose({ what: "seam", index: Number(seam[1]) });
  else if (piece) {
    const index = settled()?.drawing.pieces.findIndex((p) => p.pointer === `/pieces/${piece[1]}`) ?? -1;
    if (index >= 0) choose({ what: "piece", index });
  } else if (pointer.startsWith("/pieces") && at) {
    // A piece that the job has no entry for is told by its place.
    const away = (p: Place): number => Math.hypot(p[0] - at[0], p[1] - at[1]);
    const pieces = picture()?.drawing.pieces ?? [];
    const index = pieces.reduce((best, piece, i) => (away(piece.label) < away(pieces[best]!.label) ? i : best), 0);
    if (pieces.length > 0) choose({ what: "piece", index });
  } else if (pointer.startsWith("/top")) choose({ what: "top" });
  setLit(pointer);
}

// ------------------------------------------------------------------------------------------------ drawing a new seam

export type Way = "straight" | "arc" | "sprung" | "wave" | "pins" | "oval" | "circle" | "edging";
export interface Sketch {
  as: Way;
  places: Place[];
  cursor: Place | null; // where the pointer or the cross mark is
  keyboard: boolean; // the cross mark is moved with the arrow keys
}
const [sketch, setSketch] = createSignal<Sketch | null>(null);
/** The list of ways is open. */
const [choosingWay, setChoosingWay] = createSignal(false);
export { sketch, setSketch, choosingWay, setChoosingWay };
