// What the program minds about a picture, each with what to do; nothing where there is nothing.
import { For, Show } from "solid-js";

export function Minds(props: { minds: { says: string; remedy: string }[] }) {
  return (
    <Show when={props.minds.length > 0}>
      <h3>Mind</h3>
      <ul>
        <For each={props.minds}>
          {(mind) => (
            <li>
              {mind.says} <span class="aside">{mind.remedy}</span>
            </li>
          )}
        </For>
      </ul>
    </Show>
  );
}
