import qrcode from "qrcode-generator";

/** A square code of plain text as the path of its dark modules, and how many modules a side has with its quiet margin. */
export interface Square {
  readonly size: number;
  readonly path: string;
}

/** Plain capitals, digits and a few signs make the smallest square; level M mends a seventh of it. ISO/IEC 18004. */
export function square(text: string): Square {
  const code = qrcode(0, "M");
  code.addData(text, /^[0-9A-Z $%*+./:-]*$/.test(text) ? "Alphanumeric" : "Byte");
  code.make();
  const modules = code.getModuleCount();
  const quiet = 4;
  const dark = Array.from({ length: modules }, (_, row) =>
    Array.from({ length: modules }, (_, column) =>
      code.isDark(row, column) ? `M${column + quiet} ${row + quiet}h1v1h-1z` : "",
    ).join(""),
  );
  return { size: modules + 2 * quiet, path: dark.join("") };
}
