# Every header of include/ is compiled by itself, so that one that leans on what somebody else included first fails the
# build: as the first line of its own source (tree_test.cpp sees to that), and where it has none by one tiny source,
# never linked. Without optimisation and debug data, since nothing of the objects is used.
file(GLOB_RECURSE selfcheck_headers CONFIGURE_DEPENDS RELATIVE ${CMAKE_SOURCE_DIR}/include
  ${CMAKE_SOURCE_DIR}/include/*.hpp)
set(selfcheck_sources "")
foreach(header ${selfcheck_headers})
  string(REGEX REPLACE "^stillwell/(.*)\\.hpp$" "\\1.cpp" own_source ${header})
  if(EXISTS ${CMAKE_SOURCE_DIR}/daemon/${own_source})
    continue()
  endif()
  string(REPLACE "/" "_" source ${header})
  set(source ${CMAKE_CURRENT_BINARY_DIR}/header_selfcheck/${source}.cpp)
  file(CONFIGURE OUTPUT ${source} CONTENT "#include \"${header}\"\n" @ONLY)
  list(APPEND selfcheck_sources ${source})
endforeach()
add_library(header_selfcheck OBJECT ${selfcheck_sources})
target_link_libraries(header_selfcheck PRIVATE stillwell_options)
target_compile_options(header_selfcheck PRIVATE -O0 -g0)
