#pragma once

// Every public header, in the order the data flows: capture -> signal -> reasoning -> report;
// footage and synth beside them, records where results are kept.

// words: errors, findings, how text may look
#include "lampbeat/error.hpp"
#include "lampbeat/finding.hpp"
#include "lampbeat/text_style.hpp"
#include "lampbeat/version.hpp"

// files: outputs that appear whole or not at all
#include "lampbeat/output_file.hpp"

// capture: a sensor log becomes blocks of samples
#include "lampbeat/capture.hpp"

// signal: what the light does
#include "lampbeat/covering.hpp"
#include "lampbeat/cycle.hpp"
#include "lampbeat/dark_recording.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/live.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/meter.hpp"
#include "lampbeat/reference_lamp.hpp"
#include "lampbeat/set_up.hpp"
#include "lampbeat/spectrum.hpp"
#include "lampbeat/standards.hpp"
#include "lampbeat/tones.hpp"
#include "lampbeat/window.hpp"

// reasoning: what the camera will see
#include "lampbeat/advice.hpp"
#include "lampbeat/banding.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/companions.hpp"
#include "lampbeat/comparison.hpp"
#include "lampbeat/depth.hpp"
#include "lampbeat/exposure.hpp"
#include "lampbeat/filming.hpp"
#include "lampbeat/frequency_light.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/room.hpp"
#include "lampbeat/shot.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/typical.hpp"
#include "lampbeat/visibility.hpp"
#include "lampbeat/wall_card.hpp"

// footage: what the camera did see
#include "lampbeat/clip.hpp"
#include "lampbeat/footage.hpp"

// synth: what they would all see, from a description
#include "lampbeat/rendering.hpp"
#include "lampbeat/synth.hpp"

// records: lights, cameras, shelves, rooms and measurements kept in files, and read again
#include "lampbeat/camera_file.hpp"
#include "lampbeat/light_profile.hpp"
#include "lampbeat/measurement_line.hpp"
#include "lampbeat/room_file.hpp"
#include "lampbeat/room_log.hpp"
#include "lampbeat/shelf_file.hpp"

// report: how people and programs read it
#include "lampbeat/csv.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/picture.hpp"
#include "lampbeat/terminal_plot.hpp"
#include "lampbeat/text.hpp"
