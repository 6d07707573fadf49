import { resolve } from "node:path";
import { parseArgs } from "node:util";
import { reporter } from "vfile-reporter";
import { load } from "./node.ts";

const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: { content: { type: "string", default: "content" }, json: { type: "boolean" } },
});
if (positionals[0] === "check") {
  const { files } = await load(resolve(values.content));
  console.log(reporter([...files], { quiet: true, verbose: true }));
  process.exitCode = files.some(({ messages }) => messages.some(({ fatal }) => fatal)) ? 1 : 0;
}
