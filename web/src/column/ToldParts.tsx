// What the program tells about a thing: a title, sentences, and cautions that stand out.
import { For } from "solid-js";
import type { ToldPart } from "../protocol";

export function ToldParts(props: { parts: ToldPart[] }) {
  return (
    <For each={props.parts}>
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
  );
}
