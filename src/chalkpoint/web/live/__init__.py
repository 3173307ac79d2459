"""A live class on the network: the teacher's pages and the pupils', on separate routes and with separate secrets."""
