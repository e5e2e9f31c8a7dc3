// Whether the chosen seam closes with real tools and hands. It takes longer than a screen, so it is asked for on its own, of
// the saved job, a moment after the last change; the newest wins.
import { createEffect, createSignal, on } from "solid-js";
import { picture, present, settled } from "./bench";
import { seamIndex } from "./choice";
import type { ClosingView, Strip } from "./protocol";
import { server } from "./server";

const [found, setFound] = createSignal<ClosingView | null>(null);
/** Somebody looks at it: folded away and out of the strip, it is not asked for. */
const [watchers, setWatchers] = createSignal(0);
export const watchClosing = (by: 1 | -1): void => void setWatchers((n) => n + by);

/** Of the seam that is chosen, as saved last; null while it is being found. */
export const closing = (): ClosingView | null => {
  const now = found();
  return now && now.version === settled()?.version && now.seam === seamIndex() ? now : null;
};

const rest_ms = 120; // after a change, so that quick ones are not held up

export function followClosing(): void {
  let asked = 0;
  createEffect(
    on([settled, seamIndex, () => watchers() > 0, present], ([screen, seam, watched]) => {
      asked += 1;
      const mine = asked;
      if (!screen || !watched || !present() || !screen.seams[seam]) return;
      setTimeout(() => {
        if (mine !== asked) return;
        server.closing(screen.id, seam).then(
          (view) => {
            if (mine === asked) setFound(view);
          },
          () => {
            // The next change asks again; what is wrong with the program is told there.
          },
        );
      }, rest_ms);
    }),
  );
}

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
