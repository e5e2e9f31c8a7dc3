// A photo of a board that lies before the maker: its corners as they are put, and what the program made of it.
import { createSignal } from "solid-js";
import { settled } from "../bench";
import type { BoardPhotoView, BoardPhotoWish, Place, ToolRow } from "../protocol";
import { Fault, server } from "../server";

export type Corners = [Place, Place, Place, Place];
export interface BoardPhoto {
  file: File;
  board: ToolRow;
}

const [photo, setPhoto] = createSignal<BoardPhoto | null>(null);
const [made, setMade] = createSignal<BoardPhotoView | null>(null);
const [why, setWhy] = createSignal<Fault | null>(null);
const [working, setWorking] = createSignal(false);
export { photo, made, why, working };

let asked = 0; // the newest question: older answers are stale

export function photoOf(board: ToolRow, file: File): void {
  forget();
  setPhoto({ file, board });
}
export function leavePhoto(): void {
  forget();
  setPhoto(null);
}
/** What was made holds no more: a corner or a length was changed. */
export function forget(): void {
  asked += 1;
  setMade(null);
  setWhy(null);
  setWorking(false);
}

/** As the shelf has it, by the end of the field's address. */
export const sizeOf = (board: ToolRow, which: "length" | "width"): string => board.fields.find((f) => f.pointer.endsWith(`/${which}`))?.value ?? "";

export async function makePicture(corners: Corners, sizes: { length: string; width: string; above: string }): Promise<void> {
  const now = photo();
  if (!now) return;
  forget();
  const mine = asked;
  setWorking(true);
  const wish: BoardPhotoWish = { unit: settled()?.unit ?? "mm", corners };
  if (sizes.length) wish.length = sizes.length;
  if (sizes.width) wish.width = sizes.width;
  if (sizes.above) wish.above = sizes.above;
  try {
    const view = await server.boardPhoto(wish, now.file);
    if (mine === asked) setMade(view);
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    if (mine === asked) setWhy(error);
  } finally {
    if (mine === asked) setWorking(false);
  }
}
