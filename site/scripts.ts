import { build } from "esbuild";

/** Each script of a folder with all that it imports, in one file under its own name; and the files that went into them. */
export async function bundled(root: string, scripts: readonly string[]) {
  const bundles = new Map<string, string>();
  const inputs = new Set<string>();
  for (const script of scripts) {
    const { outputFiles, metafile } = await build({
      absWorkingDir: root,
      entryPoints: [script],
      bundle: true,
      format: "iife",
      target: "es2020",
      charset: "utf8",
      minify: true,
      write: false,
      metafile: true,
      logLevel: "silent",
      tsconfigRaw: "{}",
      define: { "import.meta.url": "addressOfScript" },
    });
    const code = outputFiles[0]!.text;
    const head = [
      code.includes("addressOfScript") ? "const addressOfScript=document.currentScript.src;" : "",
      // The schemas' library would else try to make code out of text, which the policy of every page refuses and reports.
      code.includes("__zod_globalConfig") ? "globalThis.__zod_globalConfig={jitless:true};" : "",
    ].join("");
    bundles.set(script, head ? `{${head}${code}}\n` : code);
    for (const input of Object.keys(metafile.inputs)) inputs.add(input);
  }
  return { bundles, inputs };
}
