/**
 * What a page may load and run: its own files and nothing else. It stands in a `<meta http-equiv>` of every page and
 * holds from a folder as well as served. No inline script and no inline style passes it; WebAssembly is for the search.
 */
export const contentSecurityPolicy = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "img-src 'self' data:",
  "font-src 'self'",
  "connect-src 'self'",
  "manifest-src 'self'",
  "worker-src 'self'",
  "base-uri 'none'",
  "form-action 'self'",
].join("; ");
