#pragma once
// JSON discovery documents: how a home-automation hub is told of devices and entities. They hold no value of
// their own and only point at the topics of the Homie convention, so that both always agree. The wire format
// is that of the hubs' public documentation. Pure.

#include "stillwell/config/configuration.hpp"
#include "stillwell/report/command_topics.hpp"
#include "stillwell/report/homie.hpp"
#include "stillwell/report/manifest.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

struct Document {
  std::string topic;    ///< "<prefix>/device/orchard_header/config"
  std::string payload;  ///< JSON
  Parts parts{};        ///< the entities in it; none in one that is an entity itself
};

/// One of each device, or one of each entity, as the configuration says.
std::vector<Document> discovery_documents(const Model& model, const config::Discovery& discovery,
                                          const std::vector<CommandTopic>& settable,
                                          std::string_view version);

/// The documents as they are published where there is something of before (manifest.hpp) to be taken back: an
/// entity that is gone from its device is first sent reduced to its kind, as is documented; those of the
/// other form hand over what the owner made of them before they are deleted.
std::vector<Message> document_messages(const std::vector<Document>& documents, const Retained& gone);

}  // namespace stillwell::report
