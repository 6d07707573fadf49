/** What the page says on which a record is changed. */
export const editWords = {
  title: "Change a record",
  link: "Change this record",
  says: "Open a record's file, change it, and see what the checker says as you type.",
  names: ["edit", "correct", "new figure", "mistake in a record", "update"],
  intro:
    "Opens one record's file, says what the checker says as you type, and gives you the file back. Nothing leaves this device.",
  withoutScripts:
    "This page needs scripts. Without them: open the record's file, such as “crops/basil-sweet.md” in your folder of records, in any text editor. Change it, save it, and run “tierbook check”, which says what is wrong, each problem at its line.",
  parts: {
    text: "The record",
    problems: "What the checker says",
    fields: "Figures and choices",
    changes: "What will change",
    save: "Save",
    left: "What only the whole book shows",
  },
  pick: "File of the record",
  wanted: (path: string) => `Pick “${path}” in your folder of records.`,
  wantedAny: "Pick a file in your folder of records, such as “crops/basil-sweet.md”.",
  unknownRecord: (record: string, near: string | undefined) =>
    `This edition has no record “${record}”.${near ? ` Did you mean “${near}”?` : ""} Any record can be opened here.`,
  drop: "Or drop it anywhere on this page.",
  kind: "Kind of record",
  kindUnknown: "not said",
  sayKind: "Say which kind of record this is: its folder is its kind. Nothing is checked until then.",
  book: "book.md",
  label: "Text of the record",
  hint: "Lines are numbered as the checker counts them. Tab goes on to what the checker says.",
  severity: { error: "Error", warning: "Warning", info: "Note" },
  sign: { error: "×", warning: "!", info: "i" },
  key: "× stops the book · ! look at it again · i for your information",
  place: (line: number, column: number) => `line ${line}, column ${column}:`,
  go: " put the cursor there",
  putIn: (word: string) => `Put in “${word}”`,
  putSays: (word: string, line: number) => `“${word}” is put in at line ${line}.`,
  more: (count: number) => `And ${count} more. Mend these first.`,
  none: "Nothing is wrong in this record.",
  count: (errors: number, warnings: number, infos: number) =>
    [
      errors > 0 ? counted(errors, "error") : "",
      warnings > 0 ? counted(warnings, "warning") : "",
      infos > 0 ? counted(infos, "note") : "",
    ]
      .filter((part) => part !== "")
      .join(", "),
  peek: "The checker",
  state: {
    same: (file: string) => `${file}: as it was opened`,
    changed: (file: string, kept: boolean) =>
      kept
        ? `${file}: changed, not saved. Kept in this browser until you save it.`
        : `${file}: changed, not saved. This browser keeps nothing: save before you close the page.`,
    handed: (file: string) =>
      `${file}: handed to your browser. It stays kept here too, until you throw it away below “Open”.`,
    saved: (file: string) => `${file}: saved in its place`,
  },
  fieldsSay:
    "Each box is one value of the text and changes only that; remarks and order stay. Texts, lists and names of other records are changed in the text.",
  fieldsNone: "This record has no single figures or choices.",
  fieldsUnread: "The fields cannot be read as the text stands. Mend what the checker says first.",
  top: "The record itself",
  unit: (unit: string) => `in ${unit}`,
  leansOn: (names: readonly string[]) => `Leans on ${names.join(" and ")}`,
  leansOnNothing: "No source stands behind it",
  sourceWords: { "common-practice": "common practice", memory: "memory", demo: "the invented demo" } as Readonly<
    Record<string, string>
  >,
  blank: "Blank means not recorded. To take it out, take its line out of the text.",
  changesNone: "Nothing: the text is as it was opened.",
  change: { out: "Was", in: "Is now", same: "Stays" },
  changeSign: { out: "−", in: "+", same: " " },
  saveBack: "Save in its place",
  saveCopy: "Save the changed file",
  saveOther: "Save it under another name",
  saveSays:
    "In its place: the file is read again first, and left alone when another has written it since. As a file: your browser puts it where its downloads go, and you put it in place of the old one. Then run “tierbook check”.",
  saveSaysCopy:
    "Your browser puts the file where its downloads go. Put it in place of the old one, then run “tierbook check”.",
  saveFaulty: (count: string) =>
    `${count} still stand in it. You may save all the same; the book is not printed until they are mended.`,
  otherName: (stem: string) => `${stem}-changed.md`,
  put: {
    saved: (file: string) => `Saved: ${file} stands in its place.`,
    changed: (file: string) =>
      `${file} was changed on the disk since it was opened here, so nothing was written. Save yours under another name, open the file anew, and put the two together.`,
    forbidden: (file: string) =>
      `The browser may not write ${file}, so nothing was written. Allow it when it asks, or save the changed file instead.`,
    gone: (file: string) => `${file} is no longer where it was, so nothing was written. Save the changed file instead.`,
    failed: (file: string) =>
      `${file} could not be written whole. Your text stays here: save the changed file, and look at the old one.`,
    handed: (name: string) =>
      `${name} is handed to your browser. Put it in place of the old file, then run “tierbook check”.`,
    handedOther: (name: string) =>
      `${name} is handed to your browser, for you to put the two together. Yours stays kept here until then.`,
    otherFile: (picked: string, file: string) => `That was ${picked}, and this is ${file}. Nothing was written.`,
  },
  refused: {
    encoding: (name: string) =>
      `${name} is not text in UTF-8, so it was not opened: written back, signs of it would be lost. Save it as UTF-8 in the program that wrote it.`,
    size: (name: string) => `${name} is larger than 4 MB, which no record is. It was not opened.`,
    unread: (name: string) => `${name} could not be read. Is it still there?`,
    picker: "The browser may not show its window for files here. Press once more for the plain one.",
    signs: (name: string) => `${name} holds signs that a text field would change, so it was not opened.`,
  },
  opened: {
    asked: (file: string, asked: string) => `This is ${file}. The page was asked for ${asked}.`,
    guessed: (folder: string) =>
      `Taken for a record of “${folder}/”, as the book has one of this name. If it is not, say its kind.`,
    long: "It is longer than any record: its lines are not numbered here, so that typing does not wait.",
    ending: "Its name does not end in “.md”: “tierbook check” would not read it.",
    noRecord: "This is no record: a record starts with its fields between two lines of three hyphens.",
    otherKind: (kind: string) =>
      `By its fields this looks more like a record of “${kind}/”. If it is one, say so at “Kind of record”.`,
  },
  unsaved: {
    title: "Not saved yet",
    lines: (count: number) => (count === 1 ? "1 line differs" : `${count} lines differ`),
    handed: "handed to the browser as a file",
    take: "Take it up again",
    drop: "Throw it away",
    really: "Really throw it away",
    taken: (file: string) => `${file} is as you left it. It is not saved yet.`,
    dropped: (file: string) => `What was typed in ${file} is thrown away.`,
  },
  leave: {
    title: (file: string) => `${file} is changed and not saved`,
    says: (kept: boolean) =>
      kept
        ? "Opening another file leaves it kept in this browser, and it is offered here again."
        : "This browser keeps nothing: opening another file loses what you typed.",
    stay: (file: string) => `Stay with ${file}`,
    go: (name: string) => `Open ${name}`,
  },
  left: (edition: string) =>
    `This page sees one record. Of the others it knows the names, as of the edition of ${edition}: one that came since is told here as missing. “tierbook check” also looks at:`,
  leftList: [
    "two records of one name or one tray code",
    "gear of another kind than a field asks for, and what customers may not read behind a link",
    "lines: the EC and pH of their crops, their feed, their injector",
    "stock: salts that fall out beside one another, tubs without a head",
    "batches, orders and lots that do not agree with their crop or with one another",
    "trials: their files of measurements, their earlier runs, and the ports that they stand in",
  ],
} as const;

function counted(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? "" : "s"}`;
}
