"""Map material: the coastline, files of map pictures, and servers that give them."""
