import { type CustomerEdition, customerEdition } from "./editions/customer.ts";
import { type StaffEdition, staffEdition } from "./editions/staff.ts";
import type { Library } from "./library.ts";
import type { Search } from "./plan/choose.ts";

export { type CustomerEdition, customerEdition, type StaffEdition, staffEdition };

export type Edition = CustomerEdition | StaffEdition;

/** The edition for an audience. Anything but the word `staff` gives the customer's: forgetting yields less. */
export function editionFor(library: Library, audience: string | undefined, search?: Search): Edition {
  return audience === "staff" ? staffEdition(library, search) : customerEdition(library);
}
