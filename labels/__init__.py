"""The papers of the house: labels, cards and certificates, drawn and never signed.

Reading order: faces (which letter from which font), page (millimetres from the top
left, type and rules), marks (what the bench scratches on wood), qr, label, card; then
facts, sections, evidence, certificate and archive, the owner certificate; words and
picture.
"""
