// Which piece comes from which board, and the year to come.
import { createSignal } from "solid-js";
import { settled } from "./bench";
import { askLater, watchers } from "./later";
import type { WoodView } from "./protocol";
import { server } from "./server";

const [found, setFound] = createSignal<{ job: number; view: WoodView } | null>(null);
const { watched, watch } = watchers();
export const watchWood = watch;

/** Of the job as saved last; null while it is being found. */
export const wood = (): WoodView | null => {
  const now = lastWood();
  return now?.version === settled()?.version ? now : null;
};

/** The same, or what was found before while that is being found. */
export const lastWood = (): WoodView | null => {
  const now = found();
  return now && now.job === settled()?.id ? now.view : null;
};

const rest_ms = 200;

export const followWood = (): void =>
  askLater(
    rest_ms,
    () => 0,
    watched,
    (screen) => server.wood(screen.id).then((view) => ({ job: screen.id, view })),
    (answer) => setFound(answer),
  );
