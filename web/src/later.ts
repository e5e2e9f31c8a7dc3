// What takes longer than a screen is asked for on its own, of the saved job, a moment after the last change; the newest wins.
import { createEffect, createSignal, on } from "solid-js";
import { present, settled } from "./bench";
import type { Screen } from "./protocol";

/** Folded away and out of sight, a thing is not asked for: `watch` counts who looks at it. */
export function watchers(): { watched: () => boolean; watch: (by: 1 | -1) => void } {
  const [count, setCount] = createSignal(0);
  return { watched: () => count() > 0, watch: (by) => void setCount((n) => n + by) };
}

/**
 * Asks again whenever the saved job, `of` or who looks changes, after `rest_ms` of quiet. `ask` gives nothing where there is
 * nothing to ask for.
 */
export function askLater<Of, View>(
  rest_ms: number,
  of: () => Of,
  watched: () => boolean,
  ask: (screen: Screen, of: Of) => Promise<View> | undefined,
  take: (view: View) => void,
): void {
  let asked = 0;
  createEffect(
    on([settled, of, watched, present], ([screen, which, looked_at]) => {
      asked += 1;
      const mine = asked;
      if (!screen || !looked_at || !present()) return;
      setTimeout(() => {
        if (mine !== asked) return;
        ask(screen, which)?.then(
          (view) => {
            if (mine === asked) take(view);
          },
          () => {
            // The next change asks again; what is wrong with the program is told there.
          },
        );
      }, rest_ms);
    }),
  );
}
