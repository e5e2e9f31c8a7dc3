// How the router is fed along both edges of the chosen seam, stroke by stroke.
import { Show, onCleanup, onMount } from "solid-js";
import { savedSeam } from "../choice";
import { feed, watchFeed } from "../feed";
import { ToldParts } from "./ToldParts";

export function Feeding() {
  onMount(() => watchFeed(1));
  onCleanup(() => watchFeed(-1));
  return (
    <Show when={savedSeam()} fallback={<p class="none">Draw a seam first.</p>}>
      <Show when={feed()} fallback={<p class="none">Being worked out …</p>}>
        {(view) => (
          <div class="closing">
            <Show when={view().verdict}>
              <p class="verdict">{view().verdict}</p>
            </Show>
            <ToldParts parts={view().parts} />
          </div>
        )}
      </Show>
    </Show>
  );
}
