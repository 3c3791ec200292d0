//! One sheet type in millimetres; nesting, pages, and writers for PDF, PNG, tables and meshes.
