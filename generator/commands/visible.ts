/**
 * Text as a terminal may be given it: signs that would steer it, turn the way of writing round or are half a letter stand as
 * escapes, `\u001b`. Line ends stay. In JSON such a sign can only stand in a string, where its escape means the same.
 */
export function visible(text: string): string {
  return text.replace(steering, (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`);
}

// Controls of C0 but the line end, DEL and C1; marks, embeddings and isolates of direction; line and paragraph separators.
const steering = /[\p{Cc}\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\p{Cs}](?<!\n)/gu;
