/** What the browser shows while a book is watched. */
export const watchWords = {
  stays: "A record has a problem. This is the last good page; it changes when the record is mended.",
  more: (left: number) => `and ${left} more`,
  gone: "Nobody watches the book any more: this page will not change by itself.",
  broken: (why: string) => `This page could not be made. ${why}`,
};
