// A base map of one tile, all water, in the form that a county drops in: PMTiles version 3 with one vector tile.

/** A number as protocol buffers and directories write it. */
const varint = (n) => (n < 128 ? [n] : [(n & 127) | 128, ...varint(Math.floor(n / 128))]);
const field = (number, kind, bytes) => [...varint((number << 3) | kind), ...bytes];
const message = (number, bytes) => field(number, 2, [...varint(bytes.length), ...bytes]);
const text = (number, words) => message(number, [...Buffer.from(words)]);
const zigzag = (n) => (n << 1) ^ (n >> 31);

/** One layer with one square over the whole tile. */
function tile(layer) {
  const corners = [9, 0, 0, 26, zigzag(4096), 0, 0, zigzag(4096), zigzag(-4096), 0, 15].flatMap(varint);
  const feature = [...field(3, 0, [3]), ...message(4, corners)];
  return message(3, [...field(15, 0, [2]), ...text(1, layer), ...message(2, feature), ...field(5, 0, varint(4096))]);
}

/** The file. */
export function baseMap({ attribution }) {
  const tiles = Buffer.from(tile("water"));
  const about = Buffer.from(JSON.stringify({ attribution, vector_layers: [{ id: "water", fields: {} }] }));
  const directory = Buffer.from([1, 0, 1, ...varint(tiles.length), 1]);
  const head = Buffer.alloc(127);
  head.write("PMTiles");
  head.writeUInt8(3, 7);
  let at = 127;
  for (const [where, part] of [[8, directory], [24, about], [40, Buffer.alloc(0)], [56, tiles]]) {
    head.writeBigUInt64LE(BigInt(at), where);
    head.writeBigUInt64LE(BigInt(part.length), where + 8);
    at += part.length;
  }
  for (const where of [72, 80, 88]) head.writeBigUInt64LE(1n, where);
  for (const [where, n] of [[96, 1], [97, 1], [98, 1], [99, 1], [100, 0], [101, 0]]) head.writeUInt8(n, where);
  for (const [where, degrees] of [[102, -180], [106, -85], [110, 180], [114, 85]]) head.writeInt32LE(degrees * 1e7, where);
  return Buffer.concat([head, directory, about, tiles]);
}
