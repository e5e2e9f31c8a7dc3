// Whether the chosen seam closes with real tools and hands.
import { createSignal } from "solid-js";
import { picture, settled } from "./bench";
import { seamIndex } from "./choice";
import { askLater, watchers } from "./later";
import type { ClosingView, Strip } from "./protocol";
import { server } from "./server";

const [found, setFound] = createSignal<ClosingView | null>(null);
const { watched, watch } = watchers();
export const watchClosing = watch;

/** Of the seam that is chosen, as saved last; null while it is being found. */
export const closing = (): ClosingView | null => {
  const now = found();
  return now && now.version === settled()?.version && now.seam === seamIndex() ? now : null;
};

const rest_ms = 120; // after a change, so that quick ones are not held up

export const followClosing = (): void =>
  askLater(
    rest_ms,
    seamIndex,
    watched,
    (screen, seam) => (screen.seams[seam] ? server.closing(screen.id, seam) : undefined),
    (view) => setFound(view),
  );

const tracks = ["closed_gap", "pressure"] as const;
const titles = { closed_gap: "Gap left, pushed together", pressure: "Pressure of the clamps" };

/** The strip of a seam with how it bends, and below it what is left once it is pushed together. */
export function pushedTogether(strip: Strip): Strip {
  const radius = strip.tracks[0]!;
  const view = picture() === settled() ? closing() : null;
  if (view && view.tells[0]?.stations.length === strip.stations.length) {
    const stations = strip.stations.map((station, i) => ({ ...station, tells: [station.tells[0] ?? "", ...view.tells.map((t) => t.stations[i] ?? "")] }));
    return { ...strip, tracks: [radius, ...view.tracks], stations };
  }
  if (view) {
    // There is nothing to push together: why is told in the place of the tracks.
    const none = { id: "closed_gap" as const, title: titles.closed_gap, low: 0, high: 1, marks: [], limits: [], lines: [], empty: view.verdict };
    return { ...strip, tracks: [radius, none], stations: strip.stations.map((station) => ({ ...station, tells: [station.tells[0] ?? "", ""] })) };
  }
  // The same room, with nothing drawn in it: so nothing jumps while a handle is dragged.
  const blank = (id: (typeof tracks)[number]) => ({ id, title: titles[id], low: 0, high: 1, marks: [], limits: [], lines: [{ kind: "value" as const, says: "", points: [[0, 0] as [number, number]] }] });
  const stations = strip.stations.map((station) => ({ ...station, tells: [station.tells[0] ?? "", "", ""] }));
  return { ...strip, tracks: [radius, ...tracks.map(blank)], stations };
}
