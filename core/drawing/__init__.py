"""The build drawing: collect from the job, lay out on sheets, draw. `core.drawing.build` is the way in.

Nothing is imported here, so that the lists can be collected without reportlab.
"""
