/**
 * What the disk had against a command, as a sentence: which file or folder, and why. Undefined for anything else that was
 * thrown.
 */
export function diskTrouble(error: unknown): string | undefined {
  const { code, path, syscall } = error as NodeJS.ErrnoException;
  if (code === undefined || syscall === undefined) return undefined;
  return `${path ?? "A file"} cannot be used: ${reasons[code] ?? `the disk says ${code}`}.`;
}

const reasons: Readonly<Record<string, string>> = {
  EACCES: "you may not read or write there",
  EPERM: "you may not read or write there",
  EROFS: "its disk may only be read",
  EEXIST: "a file stands where a folder is wanted",
  ENOTDIR: "a file stands where a folder is wanted",
  EISDIR: "a folder stands where a file is wanted",
  ENOENT: "it is not there",
  ENOTEMPTY: "the folder is not empty",
  ENOSPC: "the disk is full",
  EFBIG: "it is larger than a file may be there",
  EDQUOT: "the room that you have on the disk is used up",
  ENAMETOOLONG: "its name is too long",
  ELOOP: "its links lead in a circle",
  EBUSY: "another program holds it open",
  EMFILE: "too many files are open",
};
