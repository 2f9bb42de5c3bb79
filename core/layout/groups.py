"""Which terminals are joined with which, through joints and wires but not through parts."""

from __future__ import annotations

from collections.abc import Mapping

from core.job.document import Job

# Beyond this a group (a ground with all its returns) says nothing about where its members should stand.
MOST_THAT_PULL = 12


def joined_groups(job: Job) -> dict[str, tuple[str, ...]]:
    """Terminal to all terminals of its group, itself included, in a fixed order; lonely ones are left out."""
    root: dict[str, str] = {}

    def find(node: str) -> str:
        above = root.setdefault(node, node)
        while above != node:
            root[node] = root[above]
            node, above = above, root[above]
        return node

    for joint in job.joints.values():
        first = find(joint.id)
        for end in joint.ends:
            root[find(end)] = first
    for name, conductor in job.lookup.conductors.items():
        first = find(conductor.a_in or f"{name}:a")
        root[find(conductor.b_in or f"{name}:b")] = first
    members: dict[str, list[str]] = {}
    for node in list(root):
        if "-" in node:
            members.setdefault(find(node), []).append(node)
    groups: dict[str, tuple[str, ...]] = {}
    for nodes in members.values():
        if len(nodes) > 1:
            group = tuple(sorted(nodes))
            groups.update(dict.fromkeys(group, group))
    return groups


def changed_terminals(
    before: Mapping[str, tuple[str, ...]], after: Mapping[str, tuple[str, ...]]
) -> frozenset[str]:
    """The terminals whose group is not what it was."""
    gone = before.keys() - after.keys()
    other = {terminal for terminal, group in after.items() if before.get(terminal) != group}
    return frozenset(gone | other)
