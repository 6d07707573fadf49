import { pressOf, scrapsFolder } from "../press.ts";
import { type Look, watchBook } from "../watch.ts";
import { editionsOf } from "./build.ts";
import { report } from "./check.ts";
import { type Command, Misuse, type World } from "./command.ts";
import { common, contentFolder, read } from "./options.ts";

export const watch: Command = {
  name: "watch",
  summary: "shows the book on this computer, and every record as soon as it is changed",
  help: `tierbook watch [--content DIR] [--edition staff|customer] [--port NUMBER]

Serves the book to this computer alone. A page that is open in a browser shows the next one by itself when a record
is saved. While a record has a problem the last good page stays, and says what is wrong. There is no search, and
nothing is written: \`tierbook build\` prints the book.

  --content DIR   the folder of records (content)
  --edition WHO   staff or customer (staff)
  --port NUMBER   where it is served (4321)

Ends when it is interrupted, by Ctrl and C. Exit 2 when called wrongly, 3 when the port is taken or the folder
cannot be watched.

Example: tierbook watch --content ~/yard/records`,
  async run(args, world) {
    const { values } = read(args, {
      ...common,
      edition: { type: "string", default: "staff" },
      port: { type: "string", default: "4321" },
    });
    const [audience, other] = editionsOf(values.edition);
    if (!audience || other) throw new Misuse("Unexpected --edition both, expected staff or customer");
    const port = Number(values.port);
    if (!/^\d{1,5}$/.test(values.port) || port > 65_535)
      throw new Misuse(`Unexpected --port ${values.port}, expected a number up to 65535`);
    const content = await contentFolder(values.content, world);
    const press = await pressOf(await scrapsFolder());
    if ("trouble" in press) {
      world.err(press.disk ? `${press.trouble}.` : `The site could not be made.\n${press.trouble}`);
      return 3;
    }
    let first = true;
    let end: (code: number) => void = () => {};
    const ended = new Promise<number>((done) => {
      end = done;
    });
    for (const signal of ["SIGINT", "SIGTERM"] as const) process.once(signal, () => end(0));
    try {
      const watching = await watchBook({
        content,
        audience,
        press: press.folder,
        port,
        looked: (look) => {
          say(look, first, world);
          first = false;
        },
        lost: ({ message }) => {
          world.err(`${content} cannot be watched any more: ${message}`);
          end(3);
        },
      });
      world.out(`Watching ${content}. Open ${watching.address}`);
      const code = await ended;
      await watching.stop();
      return code;
    } catch (error) {
      const { code, message } = error as NodeJS.ErrnoException;
      world.err(
        code === "EADDRINUSE"
          ? `Port ${port} is taken. Say another with --port, or 0 for any that is free.`
          : `${content} cannot be watched: ${message}`,
      );
      return 3;
    }
  },
};

function say({ changed, wrong }: Look, first: boolean, { out, err }: World): void {
  if (wrong.length > 0) {
    err(report(wrong));
    err(first ? "There is nothing to show until that is mended." : "The last good book stays on the screen.");
  } else if (!first)
    out(`Shown: ${changed.slice(0, 3).join(", ")}${changed.length > 3 ? ` and ${changed.length - 3} more` : ""}`);
}
