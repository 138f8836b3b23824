// What CGAL says of binary STL files as written: closed, outward, and whether triangles cross.
//   crossing FILE...   exit 1 where a file is not sound
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Surface_mesh.h>

#include <array>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <map>
#include <vector>

using kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using surface = CGAL::Surface_mesh<kernel::Point_3>;
namespace pmp = CGAL::Polygon_mesh_processing;

static bool read_file(const char *path, std::vector<unsigned char> &out)
{
    std::FILE *f = std::fopen(path, "rb");
    if (!f) return false;
    unsigned char block[65536];
    for (std::size_t n; (n = std::fread(block, 1, sizeof block, f)) > 0;)
        out.insert(out.end(), block, block + n);
    std::fclose(f);
    return out.size() >= 84;
}

// False: the file is not sound.
static bool judge(const char *path)
{
    std::vector<unsigned char> bytes;
    if (!read_file(path, bytes)) return false;
    std::uint32_t n;
    std::memcpy(&n, bytes.data() + 80, 4);
    if (bytes.size() != 84 + 50 * std::size_t(n)) return false;
    std::map<std::array<float, 3>, std::size_t> known;
    std::vector<kernel::Point_3> points;
    std::vector<std::array<std::size_t, 3>> faces;
    for (std::uint32_t i = 0; i < n; i++) {
        std::array<std::size_t, 3> face;
        for (int c = 0; c < 3; c++) {
            std::array<float, 3> p;
            std::memcpy(p.data(), bytes.data() + 84 + 50 * std::size_t(i) + 12 + 12 * c, 12);
            auto at = known.emplace(p, points.size());
            if (at.second) points.emplace_back(double(p[0]), double(p[1]), double(p[2]));
            face[c] = at.first->second;
        }
        faces.push_back(face);
    }
    if (n == 0 || !pmp::is_polygon_soup_a_polygon_mesh(faces)) {
        std::printf("%s: %u triangles are no surface\n", path, n);
        return false;
    }
    surface mesh;
    pmp::polygon_soup_to_polygon_mesh(points, faces, mesh);
    bool closed = CGAL::is_closed(mesh), outward = closed && pmp::is_outward_oriented(mesh);
    std::vector<std::pair<surface::Face_index, surface::Face_index>> pairs;
    pmp::self_intersections(mesh, std::back_inserter(pairs));
    double volume = closed ? pmp::volume(mesh) : 0;
    std::printf("%s: %u triangles, closed %d, outward %d, volume %.6f, crossing pairs %zu\n", path, n,
                closed, outward, volume, pairs.size());
    return closed && outward && volume > 0 && pairs.empty();
}

int main(int argc, char **argv)
{
    int bad = argc < 2;
    for (int i = 1; i < argc; i++) bad += !judge(argv[i]);
    return bad ? 1 : 0;
}
