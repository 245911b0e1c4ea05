// The octets of a packet, header by header, and which of them a router has changed.

const ETHERNET = [
  ["to", 6],
  ["from", 6],
  ["type", 2],
];
const IPV4 = [
  ["version and header length", 1],
  ["type of service", 1],
  ["total length", 2],
  ["identification", 2],
  ["flags and fragment offset", 2],
  ["time to live", 1],
  ["protocol", 1],
  ["header checksum", 2],
  ["source", 4],
  ["destination", 4],
];
const UDP = [
  ["source port", 2],
  ["destination port", 2],
  ["length", 2],
  ["checksum", 2],
];
const ICMP = [
  ["type", 1],
  ["code", 1],
  ["checksum", 2],
  ["rest of the header", 4],
];
const IN_NUMBERS = new Set(["time to live", "protocol", "total length"]);

/** Cut octets into headers: each has a name, and fields with a name and their octets. */
export function headersOf(hex) {
  const octets = (hex.match(/[0-9a-f]{2}/gi) ?? []).map((one) => one.toLowerCase());
  const headers = [];
  let at = 0;
  const take = (name, fields) => {
    const read = [];
    for (const [field, count] of fields) {
      if (at >= octets.length) break;
      read.push({ name: field, octets: octets.slice(at, at + count) });
      at += count;
    }
    headers.push({ name, fields: read });
  };
  const isIPv4 = (start) => octets[start]?.[0] === "4" && octets.length >= start + 20;
  if (octets[12] === "08" && octets[13] === "00" && isIPv4(14)) take("Ethernet", ETHERNET);
  if (isIPv4(at)) {
    const start = at,
      options = (parseInt(octets[at][1], 16) - 5) * 4;
    take("IPv4", options > 0 ? [...IPV4, ["options", options]] : IPV4);
    const isFirst = (parseInt(octets[start + 6] + octets[start + 7], 16) & 0x1fff) === 0;
    if (isFirst && octets[start + 9] === "11") take("UDP", UDP);
    if (isFirst && octets[start + 9] === "01") take("ICMP", ICMP);
  }
  return { headers, rest: octets.length - at, total: octets.length };
}

const read = (field) =>
  IN_NUMBERS.has(field.name) ? String(parseInt(field.octets.join(""), 16)) : field.octets.join(" ");

/** Say for two states of a packet which fields differ; none if one of them is not known. */
export function changes(before, now) {
  const found = [];
  for (const header of now.headers) {
    const was = before.headers.find((one) => one.name === header.name);
    header.fields.forEach((field, n) => {
      const old = was?.fields[n];
      if (old && old.octets.join() !== field.octets.join()) found.push({ header, field, old });
    });
  }
  return found;
}

/** The changed fields in one sentence; the two hardware addresses, which always change, as one. */
export function changesInWords(found) {
  const isLink = (one) => one.header.name === "Ethernet";
  const words = found
    .filter((one) => !isLink(one))
    .map((one) => `${one.field.name} ${read(one.old)} → ${read(one.field)}`);
  if (found.some(isLink)) words.push("both hardware addresses, for the next link");
  return words.length ? `Changed here: ${words.join("; ")}.` : "";
}
