# The page: the same engine, compiled for browsers by em++, in one HTML file. Its modules are those
# of the program, each compiled as one; seams/ stands in for the libraries that a browser cannot load.

find_program(EMXX_PROGRAM em++)
if(NOT EMXX_PROGRAM)
  message(STATUS "em++ was not found (apt install emscripten): there is no target 'page'")
  return()
endif()

set(page_dir ${CMAKE_CURRENT_SOURCE_DIR}/page)
set(page_build ${CMAKE_CURRENT_BINARY_DIR}/page)
set(page_file ${PROJECT_BINARY_DIR}/lampbeat.html)

# Headers of the libraries without those of this machine's own C library beside them.
set(page_headers ${page_build}/headers)
file(MAKE_DIRECTORY ${page_headers})
foreach(header fmt/format.h nlohmann/json.hpp fast_float/fast_float.h kainjow/mustache.hpp Eigen/Core
               unsupported/Eigen/FFT sndfile.h)
  string(MAKE_C_IDENTIFIER ${header} name)
  find_path(page_found_${name} ${header} PATH_SUFFIXES eigen3 REQUIRED)
  string(REGEX REPLACE "/.*" "" top ${header})
  file(CREATE_LINK ${page_found_${name}}/${top} ${page_headers}/${top} SYMBOLIC)
endforeach()

set(page_flags -std=c++20 -O2 -msimd128 -fwasm-exceptions -DFMT_HEADER_ONLY -DNDEBUG
  -I${page_dir}/seams/std -isystem ${page_headers} -I${CMAKE_CURRENT_SOURCE_DIR} -I${PROJECT_SOURCE_DIR}/include)
# Linked without binaryen's own optimiser: it takes a minute for a tenth of the size.
set(page_link_flags -O1 -msimd128 -fwasm-exceptions -sMODULARIZE=1 -sEXPORT_NAME=lampbeatEngine
  -sENVIRONMENT=worker -sALLOW_MEMORY_GROWTH=1 -sTOTAL_STACK=4194304 -sFORCE_FILESYSTEM=1
  -sEXPORTED_RUNTIME_METHODS=FS,ccall
  -sEXPORTED_FUNCTIONS=_malloc,_free,_lampbeat_ask,_lampbeat_version,_lampbeat_listen,_lampbeat_hear,_lampbeat_look_from,_lampbeat_look,_lampbeat_look_rgba)

# One object of many sources.
set(page_objects)
function(page_object name)
  set(text)
  foreach(source IN LISTS ARGN)
    string(APPEND text "#include \"${source}\"\n")
  endforeach()
  file(CONFIGURE OUTPUT ${page_build}/${name}.cpp CONTENT "${text}" @ONLY)
  add_custom_command(OUTPUT ${page_build}/${name}.o
    COMMAND ${EMXX_PROGRAM} ${page_flags} -MD -MF ${page_build}/${name}.d -MT ${page_build}/${name}.o
            -c ${page_build}/${name}.cpp -o ${page_build}/${name}.o
    DEPENDS ${page_build}/${name}.cpp
    DEPFILE ${page_build}/${name}.d
    COMMENT "Compiling ${name} for the page" VERBATIM)
  set(page_objects ${page_objects} ${page_build}/${name}.o PARENT_SCOPE)
endfunction()

# MODULE, and what of it the page does without.
function(page_module name)
  file(GLOB_RECURSE sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/${name}/*.cpp)
  foreach(left_out IN LISTS ARGN)
    list(REMOVE_ITEM sources ${CMAKE_CURRENT_SOURCE_DIR}/${name}/${left_out})
  endforeach()
  page_object(${name} ${sources})
  set(page_objects ${page_objects} PARENT_SCOPE)
endfunction()

page_module(words utf8.cpp)
page_module(arithmetic)
page_module(files draft.cpp growing_file.cpp output_file.cpp)
page_module(capture read_ahead.cpp sound/packed_sound.cpp sound/sound_file_writer.cpp)
page_module(signal spectrum/planned_transform.cpp)
page_module(reasoning)
page_module(footage clips/container_clip.cpp clips/open_clip.cpp clips/png_still.cpp)
page_module(records camera_file.cpp measurement_line.cpp shelf_file.cpp)
page_module(report picture.cpp)
page_module(page)
page_object(assets ${assets_source})

# The engine as one script for a worker, and all of it as one page.
set(page_engine ${page_build}/engine.js)
set(page_script ${page_dir}/script)
set(page_scripts engine.js state.js figures.js wall.js strip.js files.js sensors.js plan.js main.js)
list(TRANSFORM page_scripts PREPEND ${page_script}/)
find_program(NODE_PROGRAM node nodejs REQUIRED)  # em++ itself runs on it
add_custom_command(OUTPUT ${page_engine} ${page_build}/engine.wasm
  COMMAND ${CMAKE_COMMAND} -E env NODE_PATH=/usr/share/nodejs
          ${EMXX_PROGRAM} ${page_link_flags} ${page_objects} -o ${page_engine}
  DEPENDS ${page_objects} COMMENT "Linking the engine of the page" VERBATIM)
add_custom_command(OUTPUT ${page_file}
  COMMAND ${NODE_PROGRAM} ${page_dir}/assemble.mjs ${page_file} ${page_dir}/page.html ${page_build}/engine.wasm
          STYLE ${CMAKE_CURRENT_SOURCE_DIR}/report/assets/page.css ${page_dir}/page.css
          ENGINE ${page_engine} ${page_script}/worker.js SCRIPT ${page_scripts}
  DEPENDS ${page_engine} ${page_build}/engine.wasm ${page_scripts} ${page_script}/worker.js ${page_dir}/page.html
          ${page_dir}/page.css ${CMAKE_CURRENT_SOURCE_DIR}/report/assets/page.css ${page_dir}/assemble.mjs
  COMMENT "Putting lampbeat.html together" VERBATIM)
add_custom_target(page DEPENDS ${page_file})
add_dependencies(page lampbeat_assets)
