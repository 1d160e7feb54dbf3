// Judges messages by the protocol's own description, metaModel.json: every type,
// whatever must be there, and that nothing is there which the protocol does not
// know. What is wrong is told with its place in the message.

const fs = require("node:fs");
const path = require("node:path");

const model = JSON.parse(fs.readFileSync(path.join(__dirname, "metaModel.json"), "utf8"));
const byName = (list) => new Map(list.map((entry) => [entry.name, entry]));
const structures = byName(model.structures);
const enumerations = byName(model.enumerations);
const aliases = byName(model.typeAliases);
const byMethod = (list) => new Map(list.map((entry) => [entry.method, entry]));
const requests = byMethod(model.requests);
const notifications = byMethod(model.notifications);

/** The least and the most of the protocol's whole numbers. */
const INTEGER = [-(2 ** 31), 2 ** 31 - 1];
const UINTEGER = [0, 2 ** 31 - 1];

const within = (value, [least, most]) => Number.isInteger(value) && least <= value && value <= most;

/** Whether a text is an address: a scheme and what stands behind it. */
const isAddress = (value) => typeof value === "string" && /^[A-Za-z][A-Za-z0-9+.-]*:\S*$/.test(value);

const BASES = {
  string: (value) => typeof value === "string",
  integer: (value) => within(value, INTEGER),
  uinteger: (value) => within(value, UINTEGER),
  decimal: (value) => typeof value === "number" && Number.isFinite(value),
  boolean: (value) => typeof value === "boolean",
  null: (value) => value === null,
  URI: isAddress,
  DocumentUri: isAddress,
  RegExp: (value) => typeof value === "string",
};

/** A few letters of a value, to recognize it by. */
function shown(value) {
  const text = JSON.stringify(value) ?? "nothing";
  return text.length > 80 ? `${text.slice(0, 80)}…` : text;
}

/** The properties of a structure, with those it takes from others. */
function propertiesOf(structure) {
  const known = new Map();
  for (const parent of [...(structure.extends ?? []), ...(structure.mixins ?? [])]) {
    for (const [name, property] of propertiesOf(structures.get(parent.name))) known.set(name, property);
  }
  for (const property of structure.properties) known.set(property.name, property);
  return known;
}

function object(value, properties, at) {
  if (typeof value !== "object" || value === null || Array.isArray(value)) return [`${at}: ${shown(value)} is no object`];
  const wrong = [];
  for (const [name, property] of properties) {
    if (!(name in value)) {
      if (!property.optional) wrong.push(`${at}: ${name} is missing`);
    } else {
      wrong.push(...check(value[name], property.type, `${at}.${name}`));
    }
  }
  for (const name of Object.keys(value)) {
    if (!properties.has(name)) wrong.push(`${at}: the protocol knows no ${name} here`);
  }
  return wrong;
}

function enumeration(value, known, at) {
  const wrong = check(value, known.type, at);
  if (wrong.length === 0 && !known.supportsCustomValues && !known.values.some((entry) => entry.value === value)) {
    wrong.push(`${at}: ${shown(value)} is no ${known.name}`);
  }
  return wrong;
}

/** Any JSON is one of these; they name one another without end. */
const ANYTHING = new Set(["LSPAny", "LSPObject", "LSPArray"]);

function reference(value, name, at) {
  if (ANYTHING.has(name)) {
    if (value === undefined) return [`${at}: nothing is there`];
    if (name === "LSPArray" && !Array.isArray(value)) return [`${at}: ${shown(value)} is no list`];
    return [];
  }
  if (structures.has(name)) return object(value, propertiesOf(structures.get(name)), at);
  if (enumerations.has(name)) return enumeration(value, enumerations.get(name), at);
  if (aliases.has(name)) return check(value, aliases.get(name).type, at);
  throw new Error(`the model has no ${name}`);
}

/** How far into a value the first thing is that is wrong. */
function depth([first]) {
  return first.slice(0, first.indexOf(": ")).split(/[.[]/).length;
}

/** What is wrong with a value, a sentence each; nothing where it is of the type. */
function check(value, type, at) {
  switch (type.kind) {
    case "base":
      return BASES[type.name](value) ? [] : [`${at}: ${shown(value)} is no ${type.name}`];
    case "reference":
      return reference(value, type.name, at);
    case "array":
      if (!Array.isArray(value)) return [`${at}: ${shown(value)} is no list`];
      return value.flatMap((item, index) => check(item, type.element, `${at}[${index}]`));
    case "tuple":
      if (!Array.isArray(value) || value.length !== type.items.length) return [`${at}: ${shown(value)} is no list of ${type.items.length}`];
      return value.flatMap((item, index) => check(item, type.items[index], `${at}[${index}]`));
    case "map":
      if (typeof value !== "object" || value === null || Array.isArray(value)) return [`${at}: ${shown(value)} is no map`];
      return Object.entries(value).flatMap(([key, item]) => [...check(key, type.key, `${at}: the key`), ...check(item, type.value, `${at}[${key}]`)]);
    case "or": {
      const tried = type.items.map((item) => check(value, item, at));
      if (tried.some((wrong) => wrong.length === 0)) return [];
      // The one that reads furthest before it fails says most.
      return tried.reduce((best, wrong) => (depth(wrong) > depth(best) ? wrong : best));
    }
    case "and": {
      const properties = new Map(type.items.flatMap((item) => [...propertiesOf(structures.get(item.name))]));
      return object(value, properties, at);
    }
    case "literal":
      return object(value, new Map(type.value.properties.map((property) => [property.name, property])), at);
    case "stringLiteral":
    case "integerLiteral":
    case "booleanLiteral":
      return value === type.value ? [] : [`${at}: ${shown(value)} is not ${shown(type.value)}`];
    default:
      throw new Error(`the model has no kind ${type.kind}`);
  }
}

const toClient = (entry) => entry.messageDirection === "serverToClient" || entry.messageDirection === "both";

/** The parameters a method takes; none where it takes nothing. */
function parameters(message, entry) {
  if (entry.params === undefined) {
    return "params" in message && message.params !== null ? [`${message.method}: it takes no parameters`] : [];
  }
  const types = Array.isArray(entry.params) ? entry.params : [entry.params];
  if (!Array.isArray(entry.params)) return check(message.params, entry.params, message.method);
  return types.flatMap((type, index) => check(message.params?.[index], type, `${message.method}[${index}]`));
}

/** What is wrong with the options that a server registers a method with. */
function registrations(message) {
  if (message.method !== "client/registerCapability" || !Array.isArray(message.params?.registrations)) return [];
  return message.params.registrations.flatMap(({ method, registerOptions }) => {
    const entry = requests.get(method) ?? notifications.get(method);
    if (entry === undefined) return [`client/registerCapability: the protocol knows no ${method}`];
    if (entry.registrationOptions === undefined) return [];
    return check(registerOptions, entry.registrationOptions, `client/registerCapability.${method}`);
  });
}

/** The parts a message of JSON-RPC may have. */
const PARTS = {
  request: ["jsonrpc", "id", "method", "params"],
  notification: ["jsonrpc", "method", "params"],
  response: ["jsonrpc", "id", "result", "error"],
};

const ERROR = {
  kind: "literal",
  value: {
    properties: [
      { name: "code", type: { kind: "base", name: "integer" } },
      { name: "message", type: { kind: "base", name: "string" } },
      { name: "data", type: { kind: "reference", name: "LSPAny" }, optional: true },
    ],
  },
};

/**
 * What is wrong with a message that a server sent. `asked` gives the method of the
 * request that an id belongs to.
 */
function judge(message, asked) {
  if (typeof message !== "object" || message === null || Array.isArray(message)) return [`${shown(message)} is no message`];
  const wrong = [];
  if (message.jsonrpc !== "2.0") wrong.push(`jsonrpc is ${shown(message.jsonrpc)}`);
  const what = "method" in message ? ("id" in message ? "request" : "notification") : "response";
  for (const part of Object.keys(message)) {
    if (!PARTS[what].includes(part)) wrong.push(`a ${what} has no ${part}`);
  }
  const isName = (id) => typeof id === "string" || within(id, INTEGER);
  if (what === "request") {
    const entry = requests.get(message.method);
    if (!isName(message.id)) wrong.push(`${shown(message.id)} names no request`);
    if (entry === undefined || !toClient(entry)) wrong.push(`no server asks for ${message.method}`);
    else wrong.push(...parameters(message, entry), ...registrations(message));
    return wrong;
  }
  if (what === "notification") {
    const entry = notifications.get(message.method);
    if (entry === undefined || !toClient(entry)) wrong.push(`no server tells ${message.method}`);
    else wrong.push(...parameters(message, entry), ...progress(message));
    return wrong;
  }
  if ("result" in message === "error" in message) wrong.push("a response has a result or an error, and not both");
  if ("error" in message) {
    // What could not be read has no name that could be repeated.
    if (!isName(message.id) && message.id !== null) wrong.push(`${shown(message.id)} names no request`);
    return [...wrong, ...check(message.error, ERROR, "error")];
  }
  const method = asked(message.id);
  if (method === undefined) return [...wrong, `nobody asked for ${shown(message.id)}`];
  const entry = requests.get(method);
  if (entry === undefined) return [...wrong, `the protocol knows no ${method}`];
  return [...wrong, ...check(message.result, entry.result, method)];
}

/** Progress carries anything; that of work is of one of three kinds. */
function progress(message) {
  if (message.method !== "$/progress") return [];
  const kinds = ["WorkDoneProgressBegin", "WorkDoneProgressReport", "WorkDoneProgressEnd"];
  const items = kinds.map((name) => ({ kind: "reference", name }));
  return check(message.params?.value, { kind: "or", items }, "$/progress.value");
}

module.exports = { judge, check, requests, notifications, version: model.metaData.version };
