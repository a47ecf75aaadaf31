// Reads the discovery documents as a home-automation hub does, with a client and templates that are not ours:
// finds the entities, follows their topics, and after each burst of messages prints one line of JSON with what
// it would show. Usage: node hub_reader.js PORT PREFIX
'use strict';
const mqtt = require('mqtt');
const nunjucks = require('nunjucks');  // the template language of hubs, so far as the documents use it

const [port, prefix] = process.argv.slice(2);
const client = mqtt.connect(`mqtt://127.0.0.1:${port}`, {protocolVersion: 5});
const documents = new Map();  // config topic -> its entities
const latest = new Map();     // topic -> payload
const followed = new Set();
const problems = new Set();

function render(template, value) {
  return template ? nunjucks.renderString(template, {value}) : value;
}

function entitiesOf(topic, document) {
  const parts = topic.slice(prefix.length + 1).split('/');
  if (parts[0] !== 'device') return [{platform: parts[0], ...document}];
  const {components, ...shared} = document;
  return Object.values(components)
      .filter((one) => Object.keys(one).length > 1)  // reduced to its platform: taken back
      .map((one) => ({...shared, ...one}));
}

function follow(topic) {
  if (!topic || followed.has(topic)) return;
  followed.add(topic);
  client.subscribe(topic, {qos: 1});
}

function readDocument(topic, payload) {
  if (payload === '') return documents.delete(topic);
  const document = JSON.parse(payload);
  if (document.migrate_discovery) return;
  documents.set(topic, entitiesOf(topic, document));
  for (const entity of documents.get(topic)) {
    follow(entity.state_topic);
    entity.availability.forEach((one) => follow(one.topic));
  }
}

// What a hub makes of a payload; what it would only grumble about in its own log is a problem here.
function stateOf(entity) {
  if (!latest.has(entity.state_topic)) return null;
  const state = render(entity.value_template, latest.get(entity.state_topic));
  const wrong = () => problems.add(`${entity.unique_id}: ${JSON.stringify(state)}`);
  if (entity.platform === 'binary_sensor') {
    const on = entity.payload_on ?? 'ON';
    if (state !== on && state !== (entity.payload_off ?? 'OFF')) wrong();
    return state === on;
  }
  if (state === 'None') return null;
  if (entity.options && !entity.options.includes(state)) wrong();
  if ((entity.unit_of_measurement || entity.state_class) && (state === '' || Number.isNaN(Number(state)))) wrong();
  if (entity.device_class === 'timestamp' && Number.isNaN(Date.parse(state))) wrong();
  return entity.unit_of_measurement || entity.state_class ? Number(state) : state;
}

function isAvailable(entity) {
  return entity.availability.every(
      (one) => latest.has(one.topic) && render(one.value_template, latest.get(one.topic)) === 'online');
}

function report() {
  const entities = {};
  for (const all of documents.values()) {
    for (const entity of all) {
      entities[entity.unique_id] = {
        platform: entity.platform, device: entity.device.name, name: entity.name,
        unit: entity.unit_of_measurement ?? null, available: isAvailable(entity), state: stateOf(entity),
      };
    }
  }
  console.log(JSON.stringify({entities, problems: [...problems]}));
}

let quiet;
client.on('connect', () => client.subscribe([`${prefix}/+/+/config`, `${prefix}/+/+/+/config`], {qos: 0}));
client.on('message', (topic, message) => {
  const payload = message.toString();
  if (topic.startsWith(`${prefix}/`) && topic.endsWith('/config')) readDocument(topic, payload);
  else latest.set(topic, payload);
  clearTimeout(quiet);
  quiet = setTimeout(report, 300);
});
