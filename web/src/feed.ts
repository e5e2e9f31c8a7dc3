// How the router is fed along both edges of the chosen seam.
import { createSignal } from "solid-js";
import { picture, settled } from "./bench";
import { seamIndex } from "./choice";
import { askLater, watchers } from "./later";
import type { FeedView, Strip } from "./protocol";
import { server } from "./server";

const [found, setFound] = createSignal<FeedView | null>(null);
const { watched, watch } = watchers();
export const watchFeed = watch;

/** Of the seam that is chosen, as saved last; null while it is being found. */
export const feed = (): FeedView | null => {
  const now = found();
  return now && now.version === settled()?.version && now.seam === seamIndex() ? now : null;
};

const rest_ms = 120; // after a change, so that quick ones are not held up

export const followFeed = (): void =>
  askLater(
    rest_ms,
    seamIndex,
    watched,
    (screen, seam) => (screen.seams[seam] ? server.feed(screen.id, seam) : undefined),
    (view) => setFound(view),
  );

const tracks = ["feed_left", "feed_right"] as const;
const titles = { feed_left: "Feeding the left edge", feed_right: "Feeding the right edge" };

/** The strip of a seam with how it bends, and below it how the router is fed along either edge. */
export function fed(strip: Strip): Strip {
  const radius = strip.tracks[0]!;
  const view = picture() === settled() ? feed() : null;
  const stations = (tells: (i: number) => string[]) => strip.stations.map((station, i) => ({ ...station, tells: [station.tells[0] ?? "", ...tells(i)] }));
  if (view && view.tells.length > 0 && view.tells[0]!.stations.length === strip.stations.length) {
    return { ...strip, tracks: [radius, ...view.tracks], stations: stations((i) => view.tells.map((t) => t.stations[i] ?? "")) };
  }
  const low_high = { low: 0, high: 1, marks: [], limits: [] };
  if (view) {
    const none = { id: "feed_left" as const, title: titles.feed_left, ...low_high, lines: [], empty: view.verdict };
    return { ...strip, tracks: [radius, none], stations: stations(() => [""]) };
  }
  // The same room, with nothing drawn in it: so nothing jumps while a handle is dragged.
  const blank = (id: (typeof tracks)[number]) => ({ id, title: titles[id], ...low_high, lines: [{ kind: "value" as const, says: "", points: [[0, 0] as [number, number]] }] });
  return { ...strip, tracks: [radius, ...tracks.map(blank)], stations: stations(() => ["", ""]) };
}
