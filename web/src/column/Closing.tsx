// Whether the chosen seam closes with real tools and hands, and how it is pushed together, clamped and glued.
import { For, Show, onCleanup, onMount } from "solid-js";
import { savedSeam } from "../choice";
import { closing, watchClosing } from "../closing";

export function Closing() {
  onMount(() => watchClosing(1));
  onCleanup(() => watchClosing(-1));
  return (
    <Show when={savedSeam()} fallback={<p class="none">Draw a seam first.</p>}>
      <Show when={closing()} fallback={<p class="none">Being worked out …</p>}>
        {(view) => (
          <div class="closing">
            <p class="verdict">{view().verdict}</p>
            <For each={view().parts}>
              {(part) => (
                <section>
                  <h3>{part.title}</h3>
                  <ul>
                    <For each={part.lines}>{(line) => <li>{line}</li>}</For>
                    <For each={part.cautions}>
                      {(caution) => (
                        <li class="caution">
                          <b>Caution.</b> {caution}
                        </li>
                      )}
                    </For>
                  </ul>
                </section>
              )}
            </For>
          </div>
        )}
      </Show>
    </Show>
  );
}
