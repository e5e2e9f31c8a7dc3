// Light or dark: as the system is set, until the maker says otherwise.
import { createSignal } from "solid-js";

const key = "seamwright.theme";
const system = matchMedia("(prefers-color-scheme: dark)");
const stored = (): "light" | "dark" | null => {
  const value = localStorage.getItem(key);
  return value === "light" || value === "dark" ? value : null;
};
const [theme, setTheme] = createSignal<"light" | "dark">(stored() ?? (system.matches ? "dark" : "light"));
export { theme };

export function applyTheme(): void {
  const put = (): void => {
    setTheme(stored() ?? (system.matches ? "dark" : "light"));
    document.documentElement.dataset["theme"] = theme();
  };
  put();
  system.addEventListener("change", put);
  addEventListener("storage", put);
}
export function switchTheme(): void {
  const next = theme() === "dark" ? "light" : "dark";
  if (next === (system.matches ? "dark" : "light")) localStorage.removeItem(key);
  else localStorage.setItem(key, next);
  setTheme(next);
  document.documentElement.dataset["theme"] = next;
}
