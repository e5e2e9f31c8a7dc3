// The work from the boards to the delivery: calendar, cost, feed, and its files.
import { createSignal } from "solid-js";
import { settled } from "./bench";
import { askLater, watchers } from "./later";
import type { WorkView } from "./protocol";
import { server } from "./server";

const [found, setFound] = createSignal<{ job: number; view: WorkView } | null>(null);
const { watched, watch } = watchers();
export const watchWork = watch;

/** Of the job as saved last; null while it is being found. */
export const work = (): WorkView | null => {
  const now = lastWork();
  return now?.version === settled()?.version ? now : null;
};

/** The same, or what was found before while that is being found. */
export const lastWork = (): WorkView | null => {
  const now = found();
  return now && now.job === settled()?.id ? now.view : null;
};

const rest_ms = 250;

export const followWork = (): void =>
  askLater(
    rest_ms,
    () => 0,
    watched,
    (screen) => server.work(screen.id).then((view) => ({ job: screen.id, view })),
    (answer) => setFound(answer),
  );
