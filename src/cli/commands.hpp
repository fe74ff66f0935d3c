#pragma once

#include <CLI/CLI.hpp>

#include "cli/session.hpp"

// One function per command, each in its own file: it declares the command's options and, when the
// command is chosen, wires capture -> signal -> reasoning -> report and sets session.exit_code.

namespace lampbeat::cli {

void add_measure(CLI::App& app, Session& session);
void add_predict(CLI::App& app, Session& session);
void add_shutters(CLI::App& app, Session& session);
void add_rate(CLI::App& app, Session& session);
void add_footage(CLI::App& app, Session& session);
void add_room(CLI::App& app, Session& session);
void add_compare(CLI::App& app, Session& session);
void add_synth(CLI::App& app, Session& session);

}  // namespace lampbeat::cli
