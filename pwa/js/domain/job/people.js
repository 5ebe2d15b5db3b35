// Who may work with a phone: the shop's people where the shop has told any, else whoever types a name. Pure.

/** Setting with the shop's people, as it told them: [{id, name, code}]. */
export const PEOPLE = "people";

/** @returns {boolean} whether a name is one that this phone may work under */
export function isOneOf(people, name) {
  return people.length === 0 || people.some((person) => person.name === name);
}
