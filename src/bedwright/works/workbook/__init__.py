"""The workbook of a works: a gate before anything is read, reader, writer, and the same in folders of CSV."""
