# Writes OUT, a C++ file with the text of the style sheet and of the bundled scripts (SCRIPT and
# LIVE_SCRIPT may be empty) and their SHA-256 digests, for the content security policy of the report.
function(as_literal path variable)
    set(text "")
    set(digest "")
    if(path AND EXISTS ${path})
        file(READ ${path} text)
        file(SHA256 ${path} digest)
    endif()
    set(${variable} "R\"~~~(${text})~~~\"" PARENT_SCOPE)
    set(${variable}_digest "\"${digest}\"" PARENT_SCOPE)
endfunction()

# What a report prints of the slot looks as on the machining sheet.
file(READ ${STYLE} of_report)
file(READ ${SLOT_TABLES} of_slot)
file(WRITE ${OUT}.css "${of_report}@media print {\n${of_slot}}\n")
as_literal("${OUT}.css" style)
as_literal("${SLOT_TABLES}" slot_tables)
as_literal("${SCRIPT}" script)
as_literal("${LIVE_SCRIPT}" live_script)
as_literal("${LICENCE}" licence)
file(WRITE ${OUT}.new "#include \"cases/report/charts/charts.hpp\"

namespace plenair {

const Charts& charts() {
    static const Charts embedded = {
        ${style},
        ${slot_tables},
        ${style_digest},
        ${script},
        ${script_digest},
        ${live_script},
        ${live_script_digest},
        ${licence}};
    return embedded;
}

}  // namespace plenair
")
file(COPY_FILE ${OUT}.new ${OUT} ONLY_IF_DIFFERENT)
