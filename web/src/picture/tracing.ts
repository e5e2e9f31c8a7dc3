// Pictures that lie before the maker to be traced, what is wished of them, and what the program found. The page shows
// and asks; it measures nothing.
import { createSignal } from "solid-js";
import { settled } from "../bench";
import type { Place, TraceView, TraceWish } from "../protocol";
import { Fault, server } from "../server";

const [pictures, setPictures] = createSignal<File[] | null>(null);
const [wish, setWishSignal] = createSignal<TraceWish>(fresh([]));
const [found, setFound] = createSignal<TraceView | null>(null);
const [why, setWhy] = createSignal<Fault | null>(null);
const [looking, setLooking] = createSignal(false);

export { pictures, wish, found, why, looking };

export const isPicture = (file: File): boolean => /^image\/(jpeg|png)$/.test(file.type) || /\.(jpe?g|png)$/i.test(file.name);

function fresh(files: File[]): TraceWish {
  return { name: files[0]?.name ?? "", unit: settled()?.unit ?? "mm", scan: files.length > 1, edge: false };
}

/** Opens the view and looks for the line. */
export function tracePictures(files: File[]): void {
  setPictures(files);
  setWishSignal(fresh(files));
  setFound(null);
  setWhy(null);
  void look();
}
export function leavePictures(): void {
  asked += 1;
  setPictures(null);
  setFound(null);
  setWhy(null);
  setLooking(false);
}

/** A wish is carried out as soon as it is made; what is `undefined` is not wished any more. */
export function wishFor(change: { [Key in keyof TraceWish]?: TraceWish[Key] | undefined }): void {
  const wanted = Object.entries({ ...wish(), ...change }).filter(([, value]) => value !== undefined);
  setWishSignal(Object.fromEntries(wanted) as unknown as TraceWish);
  void look();
}

let asked = 0; // the newest question: older answers are stale
async function look(): Promise<void> {
  const files = pictures();
  if (!files) return;
  asked += 1;
  const mine = asked;
  setLooking(true);
  try {
    const view = await server.trace(wish(), files);
    if (mine !== asked) return;
    setFound(view);
    setWhy(null);
  } catch (error) {
    if (mine !== asked) return;
    if (!(error instanceof Fault)) throw error;
    setFound(null);
    setWhy(error);
  } finally {
    if (mine === asked) setLooking(false);
  }
}

/** One end of the line put elsewhere; the other stays where it is seen. */
export function putEnd(which: "from" | "to", at: Place): void {
  const view = found();
  const first = view?.pictures[0]?.line[0];
  const line = view?.pictures.at(-1)?.line ?? [];
  const ends = { from: wish().from ?? first, to: wish().to ?? line[line.length - 1] };
  wishFor({ ...ends, [which]: at, through: [] });
}
