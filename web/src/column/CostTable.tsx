// What it costs, whole or by kind. All sums are the program's.
import { For, Show, createSignal } from "solid-js";
import type { CostView } from "../protocol";

export function CostTable(props: { view: CostView }) {
  const [whole, setWhole] = createSignal(false);
  return (
    <section class="cost">
      <h3>What it costs</h3>
      <label class="switch">
        <input type="checkbox" checked={whole()} onChange={(e) => setWhole(e.currentTarget.checked)} />
        Every line, not only the sums by kind
      </label>
      <table>
        <thead>
          <tr>
            <th scope="col">What</th>
            <Show when={whole()}>
              <th scope="col" class="number">
                Quantity
              </th>
              <th scope="col" class="number">
                Price
              </th>
            </Show>
            <th scope="col" class="number">
              {props.view.currency || "Amount"}
            </th>
          </tr>
        </thead>
        <For each={props.view.kinds}>
          {(kind) => (
            <tbody>
              <tr class="kind">
                <th scope="row" colspan={whole() ? 3 : 1}>
                  {kind.says}
                </th>
                <td class="number">{kind.sum}</td>
              </tr>
              <Show when={whole()}>
                <For each={kind.lines}>
                  {(line) => (
                    <tr>
                      <td>{line.what}</td>
                      <td class="number">{line.quantity}</td>
                      <td class="number">{line.price || "open"}</td>
                      <td class="number">{line.amount || "open"}</td>
                    </tr>
                  )}
                </For>
              </Show>
            </tbody>
          )}
        </For>
        <tfoot>
          <tr>
            <th scope="row" colspan={whole() ? 3 : 1}>
              Together
            </th>
            <td class="number">{props.view.sum}</td>
          </tr>
        </tfoot>
      </table>
      <p class="none">{props.view.rounding}</p>
    </section>
  );
}
