// Why a form was not taken, at the form itself.
import { Show } from "solid-js";
import type { Problem } from "../protocol";
import { told } from "../words";

export function Told(props: { problem: Problem | undefined }) {
  return (
    <Show when={props.problem}>
      {(problem) => (
        <p class="told" role="alert">
          {told(problem())}
        </p>
      )}
    </Show>
  );
}
