// Sentences with blanks.
import { Index, Show } from "solid-js";
import type { Card, Field } from "../protocol";
import { Blank } from "./Blank";

export function Sentences(props: { card: Card }) {
  return (
    <div class="sentences">
      <Index each={props.card.sentences}>
        {(sentence) => (
          <p>
            <Index each={sentence()}>
              {(part) => (
                <Show when={typeof part() !== "string"} fallback={part() as string}>
                  <Blank field={part() as Field} />
                </Show>
              )}
            </Index>
          </p>
        )}
      </Index>
    </div>
  );
}
