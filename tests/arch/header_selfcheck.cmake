# Every header of include/ compiled by itself: one tiny source each, never linked. A header that leans on what
# somebody else included first fails the build here. Without optimisation and debug data, since nothing of the
# objects is used.
file(GLOB_RECURSE selfcheck_headers CONFIGURE_DEPENDS RELATIVE ${CMAKE_SOURCE_DIR}/include
  ${CMAKE_SOURCE_DIR}/include/*.hpp)
set(selfcheck_sources "")
foreach(header ${selfcheck_headers})
  string(REPLACE "/" "_" source ${header})
  set(source ${CMAKE_CURRENT_BINARY_DIR}/header_selfcheck/${source}.cpp)
  file(CONFIGURE OUTPUT ${source} CONTENT "#include \"${header}\"\n" @ONLY)
  list(APPEND selfcheck_sources ${source})
endforeach()
add_library(header_selfcheck OBJECT ${selfcheck_sources})
target_link_libraries(header_selfcheck PRIVATE stillwell_options)
target_compile_options(header_selfcheck PRIVATE -O0 -g0)
