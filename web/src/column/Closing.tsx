// Whether the chosen seam closes with real tools and hands, and how it is pushed together, clamped and glued.
import { Show, onCleanup, onMount } from "solid-js";
import { savedSeam } from "../choice";
import { closing, watchClosing } from "../closing";
import { ToldParts } from "./ToldParts";

export function Closing() {
  onMount(() => watchClosing(1));
  onCleanup(() => watchClosing(-1));
  return (
    <Show when={savedSeam()} fallback={<p class="none">Draw a seam first.</p>}>
      <Show when={closing()} fallback={<p class="none">Being worked out …</p>}>
        {(view) => (
          <div class="closing">
            <p class="verdict">{view().verdict}</p>
            <ToldParts parts={view().parts} />
          </div>
        )}
      </Show>
    </Show>
  );
}
