// Problems, numbered in the order in which they are listed: errors first.
import { createMemo } from "solid-js";
import { picture } from "./bench";
import type { Place, Problem } from "./protocol";

export interface Numbered extends Problem {
  number: number;
}

export const problems = createMemo<Numbered[]>(() => {
  const all = picture()?.problems ?? [];
  return [...all.filter((p) => p.weight === "error"), ...all.filter((p) => p.weight !== "error")].map((p, i) => ({ ...p, number: i + 1 }));
});

/** Those that have a place on the drawing. */
export const marked = createMemo<(Numbered & { at: Place })[]>(() =>
  problems().filter((p): p is Numbered & { at: Place } => p.at !== undefined && p.at !== null),
);

/** Those that stand at a field. */
export const problemAt = (pointer: string): Numbered | undefined => problems().find((p) => p.pointer === pointer);

/** The list of woods of the piece that is shown, ready to be chosen from. */
export function askForWood(): void {
  requestAnimationFrame(() => {
    const list = document.querySelector<HTMLSelectElement>(".chosen select");
    list?.focus();
    list?.scrollIntoView({ block: "center" });
  });
}
