import { Document, isMap, isScalar, type Pair, type Scalar, type YAMLMap } from "yaml";
import type { Plant } from "../planted.ts";

/** Fields as YAML, with remarks that are for whoever writes: at the top, before a field, after a value, in a mapping, at the foot. */
export function remarked(fields: Readonly<Record<string, unknown>>, canary: Plant): string {
  const document = new Document(fields);
  const remark = (where: string) => ` ${canary("a remark in the fields", where, true)}`;
  const top = document.contents as YAMLMap<Scalar, unknown>;
  document.commentBefore = remark("at the top");
  document.comment = remark("at the foot");
  const [, second] = top.items;
  if (second) second.key.commentBefore = remark(`before ${second.key.value}`);
  const plain = top.items.find(({ value }) => isScalar(value) && !String(value.value).includes("\n"));
  if (plain) (plain.value as Scalar).comment = remark(`after ${plain.key.value}`);
  const nested = top.items.find(({ value }) => isMap(value) && value.items.length > 0);
  if (nested) {
    const [first] = (nested.value as YAMLMap).items as Pair<Scalar, unknown>[];
    first!.key.commentBefore = remark(`in ${nested.key.value}`);
    if (isScalar(first!.value)) first!.value.comment = remark(`after ${nested.key.value}.${first!.key.value}`);
  }
  return document.toString({ lineWidth: 0 });
}
