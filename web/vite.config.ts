import { defineConfig } from "vite";
import solid from "vite-plugin-solid";

// The built files are compiled into the program, which serves them under a strict Content-Security-Policy:
// nothing may be inlined into the HTML, and nothing may be fetched from elsewhere.
export default defineConfig({
  plugins: [solid({ hot: false })],
  base: "/",
  build: {
    target: "es2022",
    assetsInlineLimit: 0,
    modulePreload: false,
    sourcemap: false,
    emptyOutDir: true,
    rollupOptions: { input: { index: "index.html", shop: "shop.html" } },
  },
});
