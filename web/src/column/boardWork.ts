// What a hand does on the drawn boards: takes a piece and lays it elsewhere, draws a spot or a line along the grain. The
// program is told where; what follows from it comes back with the next view.
import { createSignal } from "solid-js";
import { change, say } from "../bench";
import type { BoardView, PartOnBoard, Place, SpotKind } from "../protocol";

export type Draws = SpotKind | "grain";

export const keyOf = (part: PartOnBoard): string => `${part.piece[0]} ${part.piece[1]} ${part.strip}`;

/** The piece that was pressed last; its presses stand under its board. */
const [chosen, setChosen] = createSignal("");
/** A piece in the hand, or just laid down and not yet answered: how far it is from where it was drawn. */
const [held, setHeld] = createSignal<{ key: string; by: Place } | null>(null);
/** What the next press on a board draws; null: presses take pieces. */
const [draws, setDraws] = createSignal<Draws | null>(null);
const [line, setLine] = createSignal<{ board: string; through: Place[] } | null>(null);
export { chosen, setChosen, held, draws, line };

/** A new view shows the piece where it lies now. */
export const putDown = (): void => void setHeld(null);

export function draw(what: Draws | null): void {
  setLine(null);
  setDraws(what);
  setChosen("");
}

/** Where the pointer is on the board drawn by that picture, in mm from its left end and its near edge. */
function placeOn(picture: SVGSVGElement, e: { clientX: number; clientY: number }): Place {
  const matrix = picture.getScreenCTM();
  if (!matrix) return [0, 0];
  const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(matrix.inverse());
  return [p.x, -p.y];
}

const pictureAt = (e: { clientX: number; clientY: number }): SVGSVGElement | null =>
  document.elementFromPoint(e.clientX, e.clientY)?.closest<SVGSVGElement>("svg[data-board]") ?? null;

export function lay(part: PartOnBoard, board: string, at: Place, how: { turned?: boolean; over?: boolean } = {}): void {
  const { piece, strip, of, turned, over } = part;
  void change([{ lay: piece, strip, of, board, at, turned, over, ...how }]).then((taken) => {
    if (!taken) setHeld(null);
  });
}

export const leaveToPlan = (part: PartOnBoard): void => void change([{ unlay: part.piece, strip: part.strip }]);

/** Takes a piece into the hand until the pointer lets go; a press without moving chooses it. */
export function take(e: PointerEvent & { currentTarget: Element }, part: PartOnBoard, board: BoardView): void {
  if (draws() !== null || e.button !== 0) return;
  const from = e.currentTarget.closest<SVGSVGElement>("svg[data-board]");
  if (!from) return;
  e.preventDefault();
  const key = keyOf(part);
  const start = placeOn(from, e);
  let moved = false;
  const move = (now: PointerEvent): void => {
    if (now.pointerId !== e.pointerId) return;
    const far = Math.hypot(now.clientX - e.clientX, now.clientY - e.clientY);
    if (!moved && far < 4) return;
    moved = true;
    const at = placeOn(from, now);
    setHeld({ key, by: [at[0] - start[0], at[1] - start[1]] });
  };
  const stop = (): void => {
    window.removeEventListener("pointermove", move);
    window.removeEventListener("pointerup", up);
    window.removeEventListener("pointercancel", cancel);
  };
  const cancel = (): void => {
    stop();
    setHeld(null);
  };
  const up = (now: PointerEvent): void => {
    if (now.pointerId !== e.pointerId) return;
    stop();
    setChosen(key);
    if (!moved) return;
    const picture = pictureAt(now) ?? from;
    const at = placeOn(picture, now);
    const middle: Place = [at[0] + part.at[0] - start[0], at[1] + part.at[1] - start[1]];
    lay(part, picture.dataset["board"] ?? board.name, middle);
  };
  window.addEventListener("pointermove", move);
  window.addEventListener("pointerup", up);
  window.addEventListener("pointercancel", cancel);
}

/** The arrow keys move a chosen piece by a millimetre, with Shift by ten. */
export function nudge(e: KeyboardEvent, part: PartOnBoard, board: BoardView): void {
  if (e.key === "Enter" || e.key === " ") {
    e.preventDefault();
    setChosen(keyOf(part));
    return;
  }
  const step = e.shiftKey ? 10 : 1;
  const by = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[e.key];
  if (!by) return;
  e.preventDefault();
  lay(part, board.name, [part.at[0] + by[0]!, part.at[1] + by[1]!]);
}

/** One more place of what is being drawn. */
export function press(e: MouseEvent & { currentTarget: SVGSVGElement }, board: BoardView): void {
  if (draws() === null) return;
  const at = placeOn(e.currentTarget, e);
  const now = line();
  setLine({ board: board.name, through: now?.board === board.name ? [...now.through, at] : [at] });
}

export const fewest = (what: Draws): number => (what === "grain" ? 2 : 3);

export function finishLine(): void {
  const what = draws();
  const drawn = line();
  if (what === null || !drawn) return;
  if (drawn.through.length < fewest(what)) {
    say(`Press at ${fewest(what)} places at least.`);
    return;
  }
  void change([{ mark: drawn.board, what, through: drawn.through }]).then((taken) => {
    if (taken) setLine(null);
  });
}
export const dropLine = (): void => void setLine(null);
