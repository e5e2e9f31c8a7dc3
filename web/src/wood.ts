// Which piece comes from which board, and the year to come. It takes longer than a screen, so it is asked for on its own, of
// the saved job, a moment after the last change; the newest wins.
import { createEffect, createSignal, on } from "solid-js";
import { present, settled } from "./bench";
import type { WoodView } from "./protocol";
import { server } from "./server";

const [found, setFound] = createSignal<WoodView | null>(null);
const [watchers, setWatchers] = createSignal(0);
/** Somebody looks at it: folded away, it is not asked for. */
export const watchWood = (by: 1 | -1): void => void setWatchers((n) => n + by);

/** Of the job as saved last; null while it is being found. */
export const wood = (): WoodView | null => {
  const now = found();
  return now && now.version === settled()?.version ? now : null;
};

const rest_ms = 200;

export function followWood(): void {
  let asked = 0;
  createEffect(
    on([settled, () => watchers() > 0, present], ([screen, watched]) => {
      asked += 1;
      const mine = asked;
      if (!screen || !watched || !present()) return;
      setTimeout(() => {
        if (mine !== asked) return;
        server.wood(screen.id).then(
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
