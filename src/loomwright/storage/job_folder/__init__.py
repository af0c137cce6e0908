"""Jobs as files: a folder of CSV tables, a .zip of one, or an .xlsx workbook.

Imports the loom, the services' ports and openpyxl (late, for workbooks only). Start reading in
`adapter`, then `folder` and `csv_text`; `photos` keeps the pictures beside the tables; `archive`
holds what is refused of hostile zips.
"""

from loomwright.storage.job_folder.adapter import JobFolder
from loomwright.storage.job_folder.photos import FolderPhotos

__all__ = ["FolderPhotos", "JobFolder"]
